/**
 * How it stands with the engine's process, as its door tells the pages:
 * it works; it has ended and is being started again; it has given no sign of life for some seconds while somebody waits;
 * it has ended too often to be started again unasked.
 */
export type EngineState =
  | { state: 'works' }
  | { state: 'again'; because: string }
  | { state: 'silent'; seconds: number }
  | { state: 'ended'; because: string; times: number }
