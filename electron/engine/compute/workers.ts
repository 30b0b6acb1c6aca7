import { availableParallelism } from 'node:os'
import { Worker } from 'node:worker_threads'
import { type Answer, refuse } from '../../../shared/problem.ts'
import { type Tell, untold } from '../../../shared/progress.ts'
import type { Question } from './computations.ts'

/** The threads that compute beside the engine, so that saving a reading never waits for them. */
export type Workers = {
  /**
   * Answers a question on a thread of its own. A newer question with the same `newest` ends an older one, which
   * is then answered with the problem `superseded`; a thread that fails is a problem too. `signal` ends it with
   * the problem `cancelled`.
   */
  compute(
    question: Question,
    newest?: string | null,
    more?: { signal?: AbortSignal; tell?: Tell },
  ): Promise<Answer<unknown>>
  /** Ends all threads; questions under way are answered with the problem `stopped`. */
  close(): Promise<void>
}

type Job = { question: Question; newest: string | null; tell: Tell; done(answer: Answer<unknown>): void }
/** What a thread sends: how far it has come, or its answer. */
type Message = { told: Parameters<Tell> } | Answer<unknown>

/** The answer to what a person has cancelled. */
export const cancelled = refuse('cancelled', 'This was cancelled. Nothing was changed.')

/** The thread's own file: beside this one from source, beside the bundle in dist/. */
const workerFile = new URL(import.meta.url.endsWith('.ts') ? './worker.ts' : './worker.cjs', import.meta.url)

/** Threads at a time, at most: one core is left to the engine and its window. */
const usualMost = Math.min(4, Math.max(2, availableParallelism() - 1))

/**
 * Makes threads as questions come, and keeps them for the next.
 *
 * @param options.heap most memory that a thread may fill, MB; what Node gives a thread where none is named
 */
export function startWorkers({
  file = workerFile,
  most = usualMost,
  heap,
}: {
  file?: URL
  most?: number
  heap?: number
} = {}): Workers {
  const waiting: Job[] = []
  const idle: Worker[] = []
  const busy = new Map<Worker, Job>()

  const start = (): Worker => {
    const worker = new Worker(
      file,
      heap === undefined ? {} : { resourceLimits: { maxOldGenerationSizeMb: heap } },
    )
    worker.on('message', (message: Message) => {
      const job = busy.get(worker)
      if (!job) return
      if ('told' in message) return job.tell(...message.told)
      busy.delete(worker)
      idle.push(worker)
      // A thread without work does not keep the process.
      worker.unref()
      job.done(message)
      goOn()
    })
    const failed = (why: string, answer = refuse('computationEnded', endedBecause(why))) => {
      const job = busy.get(worker)
      if (job) end(worker, job, answer)
      else drop(worker)
    }
    worker.on('error', (error) => {
      if ('code' in error && error.code === 'ERR_WORKER_OUT_OF_MEMORY') return failed('', tooLarge)
      console.error(error)
      // Some errors come over without their words.
      failed(error.message || 'no reason was given')
    })
    worker.on('messageerror', (error) => failed(error.message))
    worker.on('exit', (code) => failed(`exit code ${code}`))
    return worker
  }
  const drop = (worker: Worker) => {
    const place = idle.indexOf(worker)
    if (place >= 0) idle.splice(place, 1)
  }
  const end = (worker: Worker, job: Job, answer: Answer<unknown>) => {
    busy.delete(worker)
    void worker.terminate()
    job.done(answer)
    goOn()
  }
  const goOn = () => {
    while (waiting.length > 0 && busy.size < most) {
      const worker = idle.pop() ?? start()
      const job = waiting.shift() as Job
      busy.set(worker, job)
      worker.ref()
      worker.postMessage(job.question)
    }
  }
  const supersede = (newest: string) => {
    const answer = refuse('superseded', 'A newer question of the same kind has taken the place of this one.')
    giveUp((job) => job.newest === newest, answer)
  }
  const giveUp = (which: (job: Job) => boolean, answer: Answer<unknown>) => {
    for (const job of waiting.filter(which)) {
      waiting.splice(waiting.indexOf(job), 1)
      job.done(answer)
    }
    for (const [worker, job] of [...busy]) if (which(job)) end(worker, job, answer)
  }

  return {
    compute: (question, newest = null, { signal, tell = untold } = {}) =>
      new Promise((done) => {
        if (newest !== null) supersede(newest)
        const job: Job = { question, newest, tell, done }
        waiting.push(job)
        signal?.addEventListener('abort', () => giveUp((each) => each === job, cancelled), { once: true })
        goOn()
      }),
    async close() {
      const all = [...idle.splice(0), ...busy.keys()]
      const jobs = [...waiting.splice(0), ...busy.values()]
      busy.clear()
      for (const job of jobs) job.done(refuse('stopped', 'The program was closed before this was computed.'))
      await Promise.all(all.map((worker) => worker.terminate()))
    },
  }
}

const tooLarge = refuse(
  'outOfMemory',
  'This takes more memory than the program has. Nothing was changed. Ask for less at once: fewer runs or terms, or the file in parts.',
)

const endedBecause = (why: string) =>
  `The computation has ended before its time (${why}). What was saved is kept. Ask for it again.`
