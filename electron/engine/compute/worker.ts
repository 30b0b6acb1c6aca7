import { parentPort } from 'node:worker_threads'
import { distributionsReady } from '../../../shared/model/distributions.ts'
import type { Answer } from '../../../shared/problem.ts'
import type { Question } from './computations.ts'
import { computations } from './computations.ts'

/** The thread beside the engine: answers one question after another. What it throws ends it, and the engine sees. */
distributionsReady.then(() => {
  parentPort?.on('message', ({ computation, input }: Question) => {
    const compute = computations[computation] as (given: typeof input) => Answer<unknown>
    parentPort?.postMessage(compute(input))
  })
})
