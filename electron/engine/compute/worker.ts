import { parentPort } from 'node:worker_threads'
import { distributionsReady } from '../../../shared/model/distributions.ts'
import type { Answer } from '../../../shared/problem.ts'
import { nowAndThen, type Tell } from '../../../shared/progress.ts'
import type { Question } from './computations.ts'
import { computations } from './computations.ts'

/**
 * The thread beside the engine: answers one question after another, and tells how far it has come. What it throws
 * ends it, and the engine sees.
 */
distributionsReady.then(() => {
  parentPort?.on('message', async ({ computation, input }: Question) => {
    const compute = computations[computation] as (
      given: typeof input,
      tell: Tell,
    ) => Answer<unknown> | Promise<Answer<unknown>>
    const tell = nowAndThen((...told) => parentPort?.postMessage({ told }))
    parentPort?.postMessage(await compute(input, tell))
  })
})
