import { good } from '../../shared/problem.ts'
import { taker } from './options.ts'
import type { Verb } from './verb.ts'

/** `evenfilm serve`: the page in a browser of this machine, until the process is asked to stop. */
export const serve: Verb = {
  name: 'serve',
  summary: 'serves the page to a browser of this machine',
  operands: [],
  options: {
    port: { value: 'PORT', help: 'port on 127.0.0.1 (a free one)' },
    data: { value: 'FILE', help: 'the database (the one of the desktop window)' },
  },
  more: 'Prints the address to open, which works once. Ctrl+C ends it.',
  async run(given) {
    const { problems, number } = taker(given)
    const port = number('port', { atLeast: 1, atMost: 65535, whole: true }, null)
    if (problems.length > 0) return { ok: false, problems }
    const { serveInBrowser } = await import('../browser.ts')
    const data = given.text('data')
    const door = await serveInBrowser({
      ...(data === null ? {} : { data }),
      ...(port === null ? {} : { port }),
    })
    if (!door.ok) return door
    const { address } = door.value
    process.stdout.write(given.has('json') ? `${JSON.stringify({ address })}\n` : `${address}\n`)
    process.stderr.write('Only a browser of this machine reaches it. Ctrl+C ends it.\n')
    await new Promise((stop) => {
      for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, stop)
    })
    await door.value.close()
    return good({ exit: 0, json: undefined, text: '' })
  },
}
