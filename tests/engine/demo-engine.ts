import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { testEngine, testFolder } from './engine-in-folder.ts'
import { model } from './studies-for-tests.ts'

let made: Promise<Buffer> | undefined

async function demoDatabase(): Promise<Buffer> {
  const { engine, file, ok } = await testEngine()
  await ok('studies.demo', { seed: 7 })
  await engine.close()
  return readFileSync(file)
}

/** An engine on a database with the demo study, which is made once and copied, and a question about its fit. */
export async function demoEngine() {
  made ??= demoDatabase()
  const databaseFile = join(testFolder(), 'test.db')
  writeFileSync(databaseFile, await made)
  const engine = await testEngine({ databaseFile })
  const [study] = await engine.ok('studies.list', {})
  const studyId = study?.id as string
  const runs = await engine.ok('bench.runs', { studyId })
  return { engine, studyId, runs, question: { studyId, response: 'thickness', model } }
}
