import { copyFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { openStore } from '../../electron/engine/store/open.ts'
import { restoreBeside } from '../../electron/engine/store/restore.ts'
import { studyHash } from '../../electron/engine/store/study-hash.ts'
import { type Random, seeded } from '../../shared/random.ts'
import { testEngine, testFolder } from '../engine/engine-in-folder.ts'
import { plannedStudy } from '../engine/studies-for-tests.ts'

const tries = process.env.EVENFILM_TEST_LONG ? 600 : 20
const page = 4096

/** Ways in which a file is hurt from outside. */
const hurts: Record<string, (bytes: Buffer, random: Random) => Buffer> = {
  'pages of chance': (bytes, random) => {
    for (let n = 1 + random.below(4); n > 0; n--) {
      const at = random.below(bytes.length / page) * page
      for (let i = 0; i < page; i++) bytes[at + i] = random.below(256)
    }
    return bytes
  },
  'pages of zeros': (bytes, random) => {
    for (let n = 1 + random.below(4); n > 0; n--) {
      const at = random.below(bytes.length / page) * page
      bytes.fill(0, at, at + page)
    }
    return bytes
  },
  'pages exchanged': (bytes, random) => {
    const [a, b] = [1 + random.below(bytes.length / page - 1), 1 + random.below(bytes.length / page - 1)]
    const held = Buffer.from(bytes.subarray(a * page, (a + 1) * page))
    bytes.copyWithin(a * page, b * page, (b + 1) * page)
    held.copy(bytes, b * page)
    return bytes
  },
  'cut short': (bytes, random) => bytes.subarray(0, 1 + random.below(bytes.length - 1)),
  'text in its place': (_, random) =>
    Buffer.from('speed,thickness\n3000,1500\n'.repeat(1 + random.below(500))),
}

test(`a file hurt in ${tries} ways is refused and kept, or holds all that it held`, async () => {
  const engine = await testEngine({ databaseFile: join(testFolder(), 'test.db') })
  const { studyId, runs } = await plannedStudy(engine)
  for (const { id: runId } of runs)
    await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: '1500' }] })
  const { hash } = await engine.ok('studies.hash', { studyId })
  const { name } = await engine.ok('backups.make', {})
  await engine.engine.close()
  const random = seeded(5)
  const refused = new Map<string, number>()
  let opened = 0
  for (let i = 0; i < tries; i++) {
    const how = Object.keys(hurts)[i % Object.keys(hurts).length] as string
    const folder = testFolder()
    const [file, backup] = [join(folder, 'test.db'), join(folder, name)]
    copyFileSync(join(engine.file, '..', name), backup)
    const hurt = Buffer.from((hurts[how] as (typeof hurts)[string])(readFileSync(engine.file), random))
    writeFileSync(file, hurt)
    const answer = openStore(file)
    if (answer.ok) {
      // Pages that nothing stands on were hit, or one was exchanged for itself.
      expect(studyHash(answer.value.db, studyId), how).toBe(hash)
      answer.value.db.close()
      opened++
      continue
    }
    const [problem] = answer.problems
    refused.set(problem?.code ?? '', (refused.get(problem?.code ?? '') ?? 0) + 1)
    expect(problem?.message, how).toContain(file)
    expect(problem?.code, how).toMatch(/^(databaseDamaged|notADatabase)$/)
    if (problem?.code === 'databaseDamaged') expect(problem.message, how).toContain(backup)
    expect(readFileSync(file).equals(hurt), how).toBe(true)
    const kept = restoreBeside(file, { backup, who: '', label: 'Put back' })
    expect(existsSync(kept ?? '') && readFileSync(kept ?? '').equals(hurt), how).toBe(true)
    const again = openStore(file)
    if (!again.ok) throw new Error(again.problems[0]?.message)
    expect(studyHash(again.value.db, studyId), how).toBe(hash)
    again.value.db.close()
  }
  expect([...refused.values()].reduce((a, b) => a + b, 0)).toBeGreaterThan(tries / 2)
  if (process.env.EVENFILM_TEST_LONG) console.log(Object.fromEntries(refused), { opened })
}, 600_000)
