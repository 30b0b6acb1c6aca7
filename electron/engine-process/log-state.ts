import type { EngineState } from '../../shared/engine-state.ts'

/** Leaves word of the engine's process where the program was started. */
export function logState(state: EngineState): void {
  if (state.state === 'again') console.error(`The engine has ended (${state.because}) and is started again.`)
  else if (state.state === 'silent') console.error(`The engine has not answered for ${state.seconds} s.`)
  else if (state.state === 'ended')
    console.error(`The engine has ended ${state.times} times (${state.because}) and is not started again.`)
}
