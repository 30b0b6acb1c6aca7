import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { seeded } from '../../shared/random.ts'
import { type TestEngine, testEngine } from '../engine/engine-in-folder.ts'
import { plannedStudy } from '../engine/studies-for-tests.ts'
import { contentOf } from './content-of.ts'
import { changedBy, oneCellChanged } from './hostile/changed-database.ts'

/** Files by kind of damage: few here, many with `npm run test:long`. */
const draws = process.env.EVENFILM_TEST_LONG ? 1500 : 3

/** The file of a study with runs, readings, a correction, a trace, an exclusion, an import and a session. */
let made: Buffer | undefined
async function goodFile(): Promise<Buffer> {
  if (made) return made
  const engine = await testEngine()
  const { ok } = engine
  const { studyId, runs } = await plannedStudy(engine)
  const [first, second] = runs as [(typeof runs)[0], (typeof runs)[0]]
  await ok('bench.enterReadings', { runId: first.id, unit: 'nm', readings: [{ site: 1, text: '1500' }] })
  await ok('history.undo', { studyId })
  await ok('history.redo', { studyId })
  await ok('bench.enterReadings', { runId: second.id, unit: 'nm', readings: [{ site: 1, text: '1510' }] })
  const text = Array.from({ length: 60 }, (_, i) => `${i},${i > 20 && i < 40 ? 1000 : (i * 7) % 5}`).join(
    '\n',
  )
  await ok('traces.import', { runId: first.id, site: 1, files: [{ fileName: 'a.csv', text }] })
  const csv = `run,thickness\n${first.code},1502\n`
  await ok('imports.commit', { studyId, fileName: 'b.csv', text: csv })
  made = Buffer.from((await ok('studies.file', { studyId })).bytes, 'base64')
  return made
}

/** A laboratory with a study of its own. */
async function laboratory(): Promise<{ engine: TestEngine; own: string }> {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  await engine.ok('bench.enterReadings', {
    runId: (runs[0] as { id: string }).id,
    unit: 'nm',
    readings: [{ site: 1, text: '1600' }],
  })
  return { engine, own: studyId }
}

/** Gives files to a laboratory; whatever comes of each, the study of its own stays as it is. How many came in. */
async function given(files: Iterable<{ what: string; bytes: Buffer }>): Promise<number> {
  let cameIn = 0
  let { engine, own } = await laboratory()
  const ownHash = () => engine.ok('studies.hash', { studyId: own }).then(({ hash }) => hash)
  for (const { what, bytes } of files) {
    const before = contentOf(engine.file)
    const hash = await ownHash()
    const file = { fileName: '../odd\u202E.evenfilm', bytes: bytes.toString('base64') }
    const looked = await engine.engine.call('studies.lookAtFile', file)
    expect(contentOf(engine.file), what).toBe(before)
    const answer = await engine.engine.call('studies.bringIn', { ...file, way: 'new' })
    for (const { code, message } of answer.ok ? [] : answer.problems) {
      expect(code, `${what}: ${message}`).toMatch(
        /^(notAStudyFile|studyFileDamaged|studyFileOdd|newerVersion)$/,
      )
      expect(message, what).toContain('odd')
      expect(message, what).toMatch(/Nothing was changed|Update/)
    }
    if (!answer.ok) {
      expect(contentOf(engine.file), what).toBe(before)
      continue
    }
    cameIn++
    expect(looked.ok, what).toBe(true)
    const { studyId } = answer.value as { studyId: string }
    for (let step = 0; step < 12; step++) {
      const undone = await engine.engine.call('history.undo', { studyId })
      if (!undone.ok) expect(undone.problems[0]?.code, what).not.toBe('defect')
      expect(await ownHash(), what).toBe(hash)
    }
    ;({ engine, own } = await laboratory())
  }
  return cameIn
}

describe('the file of a study from a stranger', () => {
  /** These may come in: pages of another size, odd names and notes, and a history that tells and reaches nothing. */
  const harmless = new Set([
    ...['wide-pages.sql', 'blob-in-place-of-text.sql', 'name-like-a-path.sql'],
    ...['history-that-targets-itself.sql', 'history-without-names.sql'],
  ])
  const folder = join(import.meta.dirname, 'corpus/study')
  const scripts = readdirSync(folder).map((name) => ({ name, sql: readFileSync(join(folder, name), 'utf8') }))

  test('as it is made, it comes in', async () => {
    expect(await given([{ what: 'good', bytes: await goodFile() }])).toBe(1)
  })

  test.each(scripts)('$name', { timeout: 60_000 }, async ({ name, sql }) => {
    const good = await goodFile()
    const bytes = changedBy(good, (db) => db.exec(sql))
    expect(bytes.equals(good), 'the script has changed something').toBe(false)
    const cameIn = await given([{ what: name, bytes }])
    if (!harmless.has(name)) expect(cameIn, name).toBe(0)
  })

  test('cells of its tables changed at random', { timeout: 3_600_000 }, async () => {
    const random = seeded(31)
    const good = await goodFile()
    const files = function* () {
      for (let i = 0; i < draws; i++) {
        let what = ''
        const bytes = changedBy(good, (db) => {
          for (let times = 1 + random.below(2); times > 0; times--) what += `${oneCellChanged(db, random)}; `
        })
        yield { what, bytes }
      }
    }
    await given(files())
  })

  test('bytes changed at random', { timeout: 3_600_000 }, async () => {
    const random = seeded(32)
    const good = await goodFile()
    const files = function* () {
      for (let i = 0; i < draws; i++) {
        const bytes = Buffer.from(good)
        for (let times = 1 + random.below(30); times > 0; times--)
          bytes[random.below(i % 2 ? bytes.length : 200)] = random.below(256)
        yield { what: `bytes ${i}`, bytes: i % 7 ? bytes : bytes.subarray(0, random.below(bytes.length)) }
      }
    }
    await given(files())
  })
})
