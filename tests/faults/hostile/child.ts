import { distributionsReady } from '../../../shared/model/distributions.ts'
import { inBrief } from '../../../shared/problem.ts'
import { readers } from './readers.ts'

/** The process that reads: one input after another, each answered with its outcome and the most memory so far, kB. */
await distributionsReady
process.on('message', async ({ reader, bytes }: { reader: string; bytes: Uint8Array }) => {
  const begun = performance.now()
  const outcome = await (async () => {
    try {
      const answer = await (readers[reader] as (typeof readers)[string])(bytes)
      return answer.ok
        ? { kind: 'value' }
        : { kind: 'problems', problems: inBrief(answer.problems).slice(0, 20) }
    } catch (error) {
      return {
        kind: 'thrown',
        message: error instanceof Error ? (error.stack ?? error.message) : String(error),
      }
    }
  })()
  process.send?.({ ...outcome, ms: performance.now() - begun, most: process.resourceUsage().maxRSS })
})
process.send?.('ready')
