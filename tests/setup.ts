import { compiled } from 'cephes'

// The special functions are WebAssembly and are ready a moment after the start.
await compiled
