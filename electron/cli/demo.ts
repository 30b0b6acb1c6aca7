import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chanceInWords } from '../../shared/next/reason.ts'
import { inScope, scopeWords } from '../../shared/next/scope.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { demoScenario } from '../../shared/process/demo-scenario.ts'
import { summariesFollow } from '../engine/files/column-meaning.ts'
import { writeCsv } from '../engine/files/write-csv.ts'
import { writeTo } from '../write-file.ts'
import { type DemoJob, runDemo } from './demo-job.ts'
import { taker } from './options.ts'
import { honest, percent, settingsInWords, span } from './print.ts'
import { withEngine } from './study.ts'
import type { Verb } from './verb.ts'

/** `evenfilm demo`: the whole job on the demo study, an invented film, written into a folder. */
export const demo: Verb = {
  name: 'demo',
  summary: 'runs the whole job on the demo study (invented film) and writes it into a folder',
  operands: [],
  options: {
    out: { value: 'FOLDER', help: 'where to write (evenfilm-demo)' },
    seed: { value: 'N', help: 'starts the simulation; the same seed gives the same numbers (7)' },
  },
  more: 'No film was coated: the readings are simulated.',
  async run(given) {
    const { problems, number } = taker(given)
    const seed = number('seed', { whole: true, atLeast: 0, atMost: 2 ** 31 - 1 }, 7)
    if (problems.length > 0) return { ok: false, problems }
    const folder = given.text('out') ?? 'evenfilm-demo'
    const job = runDemo(demoScenario(seed))
    if (!job.ok) return job
    const report = await reportOf(seed)
    if (!report.ok) return report
    const files = { ...filesOf(job.value), 'report.html': report.value }
    const written = writeAll(folder, files)
    if (!written.ok) return written
    return good({
      exit: 0,
      json: { folder, simulated: true, seed, files: Object.keys(files) },
      text: words(job.value, folder, Object.keys(files)),
    })
  },
}

/** The report that the program writes of the demo study, from a database of a moment. */
async function reportOf(seed: number): Promise<Answer<string>> {
  const folder = mkdtempSync(join(tmpdir(), 'evenfilm-demo-'))
  try {
    return await withEngine(join(folder, 'demo.db'), { mayBeNew: true }, async (call) => {
      const made = await call('studies.demo', { seed })
      if (!made.ok) return made
      const document = await call('reports.document', made.value)
      return document.ok ? good(document.value.text) : document
    })
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Name and text of each other file of the folder. */
function filesOf(job: DemoJob): Record<string, string> {
  const { scenario, wafers, films, report, next, comparison } = job
  const names = scenario.factors.map(({ name, unit }) => `${name} (${unit})`)
  const settings = (wafer: DemoJob['wafers'][number]) =>
    scenario.factors.map(({ name }) => wafer.settings[name as 'speed'])
  const json = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`
  return {
    'plan.csv': writeCsv(
      ['run', 'run order', 'kind', 'plate visit', 'lot', 'session', ...names],
      wafers.map((wafer, i) => [
        wafer.code,
        i + 1,
        wafer.kind,
        wafer.plateVisit,
        wafer.lot,
        wafer.session,
        ...settings(wafer),
      ]),
    ),
    'readings.csv': writeCsv(
      ['run', 'site', 'x (mm)', 'y (mm)', 'thickness (nm)'],
      wafers.flatMap((wafer) =>
        wafer.readings.map(({ site, xMm, yMm, valueNm }) => [wafer.code, site, xMm, yMm, valueNm]),
      ),
    ),
    'runs.csv': writeCsv(
      // As in our export the means follow the count, so that they do not come in as readings beside readings.csv.
      ['run', 'lot', 'session', ...names, summariesFollow, 'thickness (nm)', 'half-range over mean (%)'],
      wafers.map((wafer, i) => [
        wafer.code,
        wafer.lot,
        wafer.session,
        ...settings(wafer),
        wafer.readings.length,
        films[i]?.mean ?? null,
        films[i]?.nonUniformity.halfRangeOverMean ?? null,
      ]),
    ),
    'film.json': json({ substrates: films }),
    'fit.json': json(report),
    'next.json': json({ choices: next.map(({ aim: _, ...choice }) => choice) }),
    'compare.json': json(comparedFigures(comparison)),
  }
}

/** What the verb `compare` prints of a comparison. */
function comparedFigures({ problems: _, ...figures }: DemoJob['comparison']) {
  return figures
}

function writeAll(folder: string, files: Record<string, string>): Answer<void> {
  try {
    mkdirSync(folder, { recursive: true })
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === undefined) throw error
    return refuse('cannotWrite', `The folder ${folder} cannot be made: ${(error as Error).message}.`)
  }
  for (const [name, text] of Object.entries(files)) {
    const written = writeTo(join(folder, name), text)
    if (!written.ok) return written
  }
  return good(undefined)
}

function words(job: DemoJob, folder: string, files: string[]): string {
  const { scenario, sweep, report, next, comparison, films } = job
  const [reach] = next
  const [shift] = comparison.shifts
  const { study } = scenario
  const centres = films.slice(0, sweep.length).map((film) => film.nonUniformity.halfRangeOverMean ?? 0)
  return [
    'An invented film, simulated: nothing here was coated or read.',
    `Plan      ${sweep.length} wafers, ${scenario.factors.map(({ name }) => name).join(' × ')}, grouped by plate temperature`,
    `Readings  ${study.siteMap} sites a wafer, ${job.wafers.length} wafers; half-range over mean ${Math.min(...centres).toFixed(2)} to ${Math.max(...centres).toFixed(2)} %`,
    `Fit       ${job.model.fitted.text}`,
    `          one wafer scatters by ${percent(report.residualStandardDeviation, 2)}, R² ${report.rSquared?.toFixed(4)}`,
    ...(reach === undefined
      ? []
      : [
          `Next      ${settingsInWords(reach.settings)}: ${honest(reach.estimate, reach.standardErrorOfMean)} nm, one wafer ${span(inScope(reach).interval)} nm`,
          `          chance within ${study.targetNm} ± ${study.toleranceNm} nm: ${chanceInWords(inScope(reach).chance)} ${scopeWords[reach.scope]}`,
        ]),
    ...(shift === undefined
      ? []
      : [
          `Lots      ${shift.group} is ${percent(shift.ratio - 1, 2)} from ${comparison.reference.group} (${percent((shift.lower ?? 1) - 1, 2)} to ${percent((shift.upper ?? 1) - 1, 2)}); its speed for ${study.targetNm} nm: ${shift.speedFor?.toFixed(0)} rpm, for ${comparison.reference.group} ${comparison.reference.speedFor?.toFixed(0)} rpm`,
        ]),
    `Written   ${folder}: ${files.join(', ')}`,
  ].join('\n')
}
