import type { Answer } from '../../shared/problem.ts'
import type { Tell } from '../../shared/progress.ts'
import type { Pieces } from './calls/handler.ts'
import { withFaults } from './store/faults.ts'

/** Lets the engine answer whatever else has come meanwhile. */
const turn = () => new Promise<void>((done) => setImmediate(done))

/**
 * Works off the pieces of a long writer, one at a time, and then takes its step. Where it is halted or the step
 * refuses, what the pieces have left is taken back before the answer is given.
 *
 * @param by.halt why to stop before the next piece, or null
 * @param by.step the step that makes all of it visible at once
 */
export async function workOff<T extends { answer: Answer<unknown> }>(
  pieces: Pieces,
  by: {
    file: string
    tell: Tell
    halt(): Extract<Answer<unknown>, { ok: false }> | null
    step(): T
  },
): Promise<T | { answer: Answer<unknown>; changed: false }> {
  let done: T | null = null
  try {
    const refused = await eachPiece(pieces, by)
    if (refused) return { answer: refused, changed: false }
    done = by.step()
    return done
  } finally {
    if (!done?.answer.ok) await takeBack(pieces, by.file)
  }
}

async function eachPiece(
  pieces: Pieces,
  { file, tell, halt }: Parameters<typeof workOff>[1],
): Promise<Extract<Answer<unknown>, { ok: false }> | null> {
  const work = pieces.make()[Symbol.iterator]()
  for (;;) {
    const stop = halt()
    if (stop) return stop
    const next = withFaults(file, () => ({ ok: true as const, value: work.next() }))
    if (!next.ok) return next
    if (next.value.done) return null
    tell(...next.value.value)
    await turn()
  }
}

/** What cannot be taken back now (the disk is full, the program closes) is taken away at the next start. */
async function takeBack(pieces: Pieces, file: string): Promise<void> {
  const work = pieces.takeBack()[Symbol.iterator]()
  for (;;) {
    const next = withFaults(file, () => ({ ok: true as const, value: work.next() }))
    if (!next.ok || next.value.done) return
    await turn()
  }
}
