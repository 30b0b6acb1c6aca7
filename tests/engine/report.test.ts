import { createHash, randomUUID } from 'node:crypto'
import { expect, test } from 'vitest'
import { reportParts } from '../../shared/contract/choices.ts'
import { methods } from '../../shared/methods.ts'
import { paperTheme } from '../../shared/report/paper-theme.ts'
import { partTitles } from '../../shared/report/part-titles.ts'
import { demoEngine } from './demo-engine.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const documentOf = async ({ ok }: TestEngine, studyId: string, more = {}) =>
  (await ok('reports.document', { studyId, ...more })).text
/** What a reader sees, without markup and blanks beyond one. */
const seen = (text: string) =>
  text
    .replace(/<style>[\s\S]*?<\/style>/, '')
    .replace(/<[^>]+>/g, ' ')
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&')
    .replace(/\s+/g, ' ')
const headings = (text: string) => [...text.matchAll(/<h2>(.*?)<\/h2>/g)].map((match) => match[1])
const sha256 = (text: string) => createHash('sha256').update(text).digest('hex')

test('the report of the demo holds every part with what belongs there', async () => {
  const { engine, studyId } = await demoEngine()
  const text = await documentOf(engine, studyId)
  const study = await engine.ok('studies.get', { studyId })
  expect(headings(text)).toEqual(reportParts.map((part) => partTitles[part]))
  const words = seen(text)
  for (const some of [
    study.name,
    study.question,
    'Simulated: the film of this study is invented',
    '1500 ± 30 nm',
    study.coater?.name,
    study.hotPlate?.name,
    study.gauge?.name,
    ...study.lots,
    'Decided by Demo',
    'D-efficiency',
    'Smallest effects that are found',
    'Where the scatter of the film comes from',
    'What this holds for',
    'safety data sheet',
    'Readings as typed',
    'Fitted with the variances between sessions and visits to the plate',
    ' log(&quot;non-uniformity&quot;) ~ ',
    ...['bowl', 'ring', 'wedgeX', 'wedgeY'].map((response) => ` ${response} ~ `),
    methods.speedExponent.formula.replace(/\s+/g, ' '),
    methods.bands.source,
  ])
    expect(words).toContain(some)
  // Every measured run has a row and a map; the maps share one scale.
  const runs = await engine.ok('bench.runs', { studyId })
  const read = runs.filter(({ film }) => film !== null)
  expect(text.match(/<title>Wafer map of /g)).toHaveLength(read.length)
  expect(text.match(/Colours of all maps: from/g)).toHaveLength(2)
  for (const { code } of runs) expect(words).toContain(code)
  // The terms are those of the fit over days that the page shows.
  const { fit, dataHash } = await engine.ok('fits.fit', {
    studyId,
    response: 'thickness',
    model: /<code>(.*?)<\/code>/.exec(text)?.[1]?.replaceAll('&gt;', '>') ?? '',
    overDays: true,
  })
  for (const { term } of fit.terms) expect(words).toContain(` ${term} `)
  expect(words).toContain(`Data of the fit shown SHA-256 ${dataHash}`)
  // The hashes are those of the files.
  for (const call of ['reports.runsCsv', 'reports.readingsCsv'] as const)
    expect(words).toContain(sha256((await engine.ok(call, { studyId })).text))
  // Names of drawings are unlike each other.
  const ids = [...text.matchAll(/ id="([^"]+)"/g)].map((match) => match[1])
  expect(new Set(ids).size).toBe(ids.length)
})

test('the document is whole by itself: no script, no inline style, no address elsewhere', async () => {
  const { engine, studyId } = await demoEngine()
  const text = await documentOf(engine, studyId)
  expect(text).not.toMatch(
    /<script|\son\w+=|javascript:|<iframe|<object|<embed|<link|<img|@import|url\((?!#)/i,
  )
  expect(text).not.toMatch(/<[^>]*\sstyle=/)
  expect(text.match(/<style/g)).toHaveLength(1)
  expect(text.replaceAll('http://www.w3.org/2000/svg', '')).not.toMatch(/(https?|ftp|file|wss?):\/\//)
  expect(text).not.toMatch(/NaN|undefined|\[object|Infinity/)
})

test('hostile text stays text wherever it stands', async () => {
  const engine = await testEngine()
  const evil = `</td></style><script>alert(1)</script><b title='"'>&amp;<img src=x onerror=alert(2)>]]>\u202e\u2066`
  const { studyId, runs } = await plannedStudy(engine)
  await engine.ok('studies.update', {
    studyId,
    change: { name: evil, question: evil, substrate: evil, resist: evil, roomRules: evil, lots: ['A', evil] },
  })
  const runId = runs[0]?.id as string
  const { readingIds } = await engine.ok('bench.enterReadings', {
    runId,
    unit: 'nm',
    readings: [1, 2, 3, 4, 5].map((site) => ({ site, text: String(1500 + site) })),
  })
  await engine.ok('bench.excludeReading', { readingId: readingIds[0] as string, reason: evil })
  await engine.ok('bench.updateRun', { runId, change: { note: evil, lot: evil, session: evil } })
  await engine.ok('reports.arrange', {
    studyId,
    items: [
      { kind: 'note', id: randomUUID(), text: evil },
      ...reportParts.map((part) => ({ kind: 'part' as const, part })),
    ],
  })
  const text = await documentOf(engine, studyId)
  expect(text).not.toContain('<script')
  expect(text).not.toContain('<b title')
  expect(text.match(/<\/style>/g)).toHaveLength(1)
  expect(text.split('&lt;script&gt;alert(1)&lt;/script&gt;').length).toBeGreaterThan(8)
  const tags = new Set([...text.matchAll(/<([a-z]+)/g)].map(([, tag]) => tag))
  expect(['script', 'b', 'img'].filter((tag) => tags.has(tag))).toEqual([])
  // Nor does it turn what stands behind it.
  expect(/[\u202a-\u202e\u2066\u2067]/.test(text)).toBe(false)
  // A theme cannot bring rules of its own.
  await engine.refused('reports.document', {
    studyId,
    theme: { ...paperTheme, ink: '#000; } body { display: none' },
  })
})

test('parts stand in the order chosen, with notes between them, and notes tell when the data have changed', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const read = (i: number) =>
    engine.ok('bench.enterReadings', {
      runId: runs[i]?.id as string,
      unit: 'nm',
      readings: Array.from({ length: 9 }, (_, k) => ({ site: k + 1, text: String(1500 + k) })),
    })
  await read(0)
  const [first, second] = [randomUUID(), randomUUID()]
  const arrange = (texts: [string, string]) =>
    engine.ok('reports.arrange', {
      studyId,
      items: [
        { kind: 'part', part: 'runs' },
        { kind: 'note', id: first, text: texts[0] },
        { kind: 'part', part: 'aim' },
        { kind: 'note', id: second, text: texts[1] },
      ],
    })
  await arrange(['Thin at the rim.', 'To be repeated.'])
  const before = await documentOf(engine, studyId)
  expect(headings(before)).toEqual([partTitles.runs, partTitles.aim])
  expect(seen(before)).toMatch(/Runs .*Thin at the rim\. .*Question and target.*To be repeated\./)
  expect(before).not.toContain('Out of date.')
  await read(1)
  // A note that is written anew is one of these data; the other is not.
  await arrange(['Thin at the rim.', 'Repeated.'])
  const { text, stale } = await engine.ok('reports.document', { studyId })
  expect(seen(text)).toMatch(/Out of date\. This note was written .*Thin at the rim\./)
  expect(text.match(/Out of date\./g)).toHaveLength(1)
  expect(stale).toEqual(['1 note written on other data.'])
  // It is a step like any other.
  await engine.ok('history.undo', { studyId })
  const { items } = await engine.ok('reports.items', { studyId })
  expect(items.flatMap((item) => (item.kind === 'note' ? [item.text] : []))).toEqual([
    'Thin at the rim.',
    'To be repeated.',
  ])
  // Parts that are asked for stand in place of what is kept.
  expect(headings(await documentOf(engine, studyId, { parts: ['origin', 'aim'] }))).toEqual([
    partTitles.origin,
    partTitles.aim,
  ])
})

test('a decision says when the data have changed since', async () => {
  const { engine, studyId, question, runs } = await demoEngine()
  const { dataHash } = await engine.ok('next.recommend', {
    ...question,
    target: 1500,
    tolerance: 30,
    seed: 1,
  })
  await engine.ok('recipes.keep', {
    ...question,
    settings: { speed: 3250, time: 40, bake: 100 },
    target: 1500,
    tolerance: 30,
    chance: 0.9,
    dataHash,
    decision: { name: 'Report test', decidedBy: 'A. Person', reason: 'It held on both days.', note: '' },
  })
  const fresh = await engine.ok('reports.document', { studyId, parts: ['decision'] })
  expect(seen(fresh.text)).toMatch(/Decided by A\. Person , .*: It held on both days\./)
  const ofThis = /Recipe Report test, version 1, was decided on other data/
  expect(fresh.stale.join()).not.toMatch(ofThis)
  const left = runs.find(({ kind, state }) => kind === 'factorial' && state === 'measured')
  await engine.ok('bench.updateRun', { runId: left?.id as string, change: { excluded: 'wrong chuck' } })
  const later = await engine.ok('reports.document', { studyId, parts: ['decision', 'exclusions'] })
  expect(later.stale.join()).toMatch(ofThis)
  expect(seen(later.text)).toMatch(/Out of date\. This recipe was decided on \d+ runs/)
  expect(seen(later.text)).toContain('wrong chuck')
})

test('a study without a plan, and one with a single reading, have a report too', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.create', { study: { name: 'Bare' } })
  const bare = await documentOf(engine, studyId)
  expect(headings(bare)).toHaveLength(reportParts.length)
  expect(bare).not.toMatch(/NaN|undefined|Infinity/)
  const planned = await plannedStudy(engine)
  await engine.ok('bench.enterReadings', {
    runId: planned.runs[0]?.id as string,
    unit: 'nm',
    readings: [{ site: 1, text: '1500' }],
  })
  expect(await documentOf(engine, planned.studyId)).not.toMatch(/NaN|undefined|Infinity/)
})

test('terms and ledger are files too, with the numbers of the calls', async () => {
  const { engine, studyId } = await demoEngine()
  const terms = (await engine.ok('reports.termsCsv', { studyId })).text.trim().split('\r\n')
  expect(terms[0]).toContain('term,estimate,standard error')
  expect(terms[1]).toMatch(/^constant,/)
  const ledger = (await engine.ok('reports.ledgerCsv', { studyId })).text.trim().split('\r\n')
  const { entries } = await engine.ok('next.ledger', { studyId })
  expect(ledger).toHaveLength(entries.length + 1)
  expect(ledger[0]).toContain('predicted,lower,upper')
})
