import { contextBridge, ipcRenderer } from 'electron'
import type { Bridge, BridgeEvent } from '../shared/bridge.ts'
import type { EngineState } from '../shared/engine-state.ts'
import type { Progress } from '../shared/progress.ts'

type Handler = (told?: Progress | EngineState) => void | Promise<void>

const handlers: Record<BridgeEvent, Set<Handler>> = {
  changed: new Set(),
  progress: new Set(),
  studyFile: new Set(),
  engine: new Set(),
  closing: new Set(),
}

ipcRenderer.on('evenfilm:changed', () => {
  for (const handler of handlers.changed) handler()
})
ipcRenderer.on('evenfilm:progress', (_event, progress: Progress) => {
  for (const handler of handlers.progress) handler(progress)
})
ipcRenderer.on('evenfilm:studyFile', () => {
  for (const handler of handlers.studyFile) handler()
})
ipcRenderer.on('evenfilm:engine', (_event, state: EngineState) => {
  for (const handler of handlers.engine) handler(state)
})
ipcRenderer.on('evenfilm:closing', async () => {
  await Promise.allSettled([...handlers.closing].map((handler) => handler()))
  ipcRenderer.send('evenfilm:closed')
})

const bridge: Bridge = {
  kind: 'desktop',
  call: (name, args) => ipcRenderer.invoke('evenfilm:call', name, args),
  engineState: () => ipcRenderer.invoke('evenfilm:engineState'),
  startEngineAgain: () => ipcRenderer.invoke('evenfilm:startEngineAgain'),
  saveFile: (file) => ipcRenderer.invoke('evenfilm:saveFile', file),
  savePdf: (file) => ipcRenderer.invoke('evenfilm:savePdf', file),
  takeStudyFile: () => ipcRenderer.invoke('evenfilm:takeStudyFile'),
  on(event, handler) {
    if (!Object.hasOwn(handlers, event)) throw new Error(`There is no event ‘${event}’.`)
    handlers[event].add(handler)
    return () => handlers[event].delete(handler)
  },
}

contextBridge.exposeInMainWorld('evenfilm', bridge)
