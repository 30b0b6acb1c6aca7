import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { json } from 'node:stream/consumers'
import vue from '@vitejs/plugin-vue'
import { createServer } from 'vite'
import { startEngine } from '../electron/engine/engine.ts'
import { root } from './node-version.js'

/**
 * Serves the page of parts on 127.0.0.1, redrawn as their sources change, with the demo study behind it in a database
 * that goes away with the command: `npm run parts`.
 */
async function serveParts({ port = 5199 } = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'evenfilm-parts-'))
  const engine = await startEngine({ databaseFile: join(folder, 'parts.db') })
  const demo = await engine.call('studies.demo', {})
  const answers = {
    name: 'answers of the engine',
    configureServer({ middlewares }) {
      middlewares.use('/call', async (request, response) => {
        const { name, args } = await json(request)
        response.setHeader('content-type', 'application/json')
        response.end(JSON.stringify(await engine.call(name, args)))
      })
      // Nothing else writes into this database, so that there is nothing to tell.
      middlewares.use('/events', (_request, response) => {
        response.setHeader('content-type', 'text/event-stream')
        response.flushHeaders()
      })
    },
  }
  const server = await createServer({
    root: join(root, 'renderer'),
    configFile: false,
    clearScreen: false,
    cacheDir: join(folder, 'vite'),
    plugins: [vue({ features: { optionsAPI: false } }), answers],
    server: { host: '127.0.0.1', port, fs: { allow: [root] } },
  })
  await server.listen()
  return {
    address: `${server.resolvedUrls.local[0]}parts.html#plan/${demo.value.studyId}`,
    async close() {
      await server.close()
      await engine.close()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

if (process.argv[1] === import.meta.filename) {
  const served = await serveParts()
  console.log(`The page of parts: ${served.address}`)
  for (const signal of ['SIGINT', 'SIGTERM']) process.once(signal, () => served.close())
}
