import { parentPort } from 'node:worker_threads'
import { good } from '../../shared/problem.ts'

/** A thread that answers, ends or goes on for ever as it is told, in place of the one that computes. */
parentPort?.on('message', ({ input }: { input: string }) => {
  if (input === 'throw') throw new Error('the chuck came off')
  if (input === 'exit') process.exit(3)
  if (input === 'no data') parentPort?.postMessage(() => {})
  else if (input === 'for ever') for (;;);
  else parentPort?.postMessage(good(input))
})
