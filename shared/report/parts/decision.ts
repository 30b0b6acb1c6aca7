import { fixed, percent, plainNumber } from '../../charts/format.ts'
import type { KeptRecipe } from '../../contract/recipes.ts'
import type { Study } from '../../contract/things.ts'
import { largest, smallest } from '../../extremes.ts'
import { chanceInWords } from '../../next/reason.ts'
import { count, formulaWords } from '../../words.ts'
import { facts, list, soft, stale, table } from '../blocks.ts'
import { type Html, html } from '../html.ts'
import type { ReportData } from '../report-data.ts'
import { inUnit, moment, settingsLine, shortHash, span, thick } from '../shown.ts'

/** What was decided, by whom and why; how it was confirmed; and what it holds for. */
export function decision(data: ReportData): (Html | null)[] {
  const { recipes, confirmations, study } = data
  const inUse = recipes.filter(({ supersededBy }) => supersededBy === null)
  return [
    inUse.length === 0 ? soft('No recipe has been decided on yet.') : null,
    ...inUse.flatMap((recipe) => recipeParts(recipe, data)),
    table(
      'Superseded versions',
      [
        { label: 'Recipe' },
        { label: 'Version', number: true },
        { label: 'Settings' },
        { label: 'Decided' },
        { label: 'Reason' },
      ],
      recipes
        .filter(({ supersededBy }) => supersededBy !== null)
        .map((one) => [
          one.name,
          String(one.version),
          settingsLine(one.settings, study),
          `${one.decidedBy}, ${moment(one.decidedAt)}`,
          one.reason,
        ]),
    ),
    ...confirmations.flatMap((one) => confirmationParts(one, study)),
    html`<h3>What this holds for</h3>`,
    list(limitsOfValidity(data)),
  ]
}

function recipeParts(
  recipe: KeptRecipe & { stale: boolean },
  { study, recipes, fit }: ReportData,
): (Html | null)[] {
  const { bakeSurface, film } = recipe
  const before = recipes.find(({ id }) => id === recipe.supersedes)
  return [
    html`<h3>Recipe ${recipe.name}, version ${recipe.version}</h3>`,
    recipe.stale
      ? stale(
          `This recipe was decided on ${count(recipe.runs, 'run')} (data ${shortHash(recipe.dataHash)}); the data have changed since` +
            `${fit ? `, and ${count(fit.fit.n, 'run')} are in the fit now` : ''}. Look at it again before it is used.`,
        )
      : null,
    html`<p><strong>Decided by ${recipe.decidedBy}</strong>, ${moment(recipe.decidedAt)}: ${recipe.reason}</p>`,
    recipe.note === '' ? null : html`<p>${recipe.note}</p>`,
    facts([
      ['Settings', settingsLine(recipe.settings, study)],
      ['Resist', `${recipe.resist || 'not named'}${recipe.lot ? `, lot ${recipe.lot}` : ''}`],
      ['Tools', [recipe.coater, recipe.hotPlate, recipe.gauge].filter(Boolean).join(', ')],
      [
        'Program',
        recipe.program
          .map(
            ({ rpm, ramp, time }) =>
              `${plainNumber(rpm)} rpm at ${plainNumber(ramp)} rpm/s, ${plainNumber(time)} s`,
          )
          .join('; '),
      ],
      [
        'Bake',
        `display ${plainNumber(recipe.bakeDisplay)} °C${bakeSurface === null ? '' : `, surface ${plainNumber(bakeSurface)} °C`}, ${plainNumber(recipe.bakeTime)} s`,
      ],
      [
        'Target',
        `${thick(recipe.targetNm, study)} ± ${thick(recipe.toleranceNm, study)} ${study.thicknessUnit}, after ${recipe.targetAfter}`,
      ],
      [
        'Non-uniformity',
        recipe.uniformityLimit === null
          ? ''
          : `at most ${plainNumber(recipe.uniformityLimit)} %, ${formulaWords[recipe.uniformityFormula].short}`,
      ],
      [
        'One wafer on another day',
        `${thick(film.estimate, study)} ${study.thicknessUnit}, ${span(film.prediction, study)}` +
          `${film.chance === null ? '' : `; chance in tolerance ${percent(film.chance, 0)}`}`,
      ],
      [
        'Exponent of the speed here',
        recipe.exponent === null
          ? ''
          : `${fixed(recipe.exponent.value, 3)} ± ${fixed(recipe.exponent.standardError, 3)}`,
      ],
      ['By', `${recipe.model} on ${count(recipe.runs, 'run')}; data ${recipe.dataHash}`],
      ['Supersedes', before ? `version ${before.version}` : 'no other version'],
    ]),
  ]
}

const verdicts = { 'not yet': 'not yet told', passed: 'passed', 'not passed': 'not passed' }
const yes = (answer: boolean | null, [is, isNot]: [string, string]) =>
  answer === null ? '–' : answer ? is : isNot

function confirmationParts(one: ReportData['confirmations'][number], study: Study): (Html | null)[] {
  const { judgement } = one
  return [
    html`<h3>Confirmation planned ${moment(one.at)}: ${verdicts[judgement.verdict]}</h3>`,
    facts([
      ['Settings', settingsLine(one.settings, study)],
      [
        'Written down before',
        `all wafers at once ${span(one.simultaneous, study)} ${study.thicknessUnit} (${percent(one.level, 0)}), predicted ${thick(one.estimate, study)}`,
      ],
      ['Chance of each in tolerance', chanceInWords(one.chance.both)],
      [
        'For release',
        judgement.release === null
          ? ''
          : `${percent(judgement.release.share, 0)} of all wafers between ${span(judgement.release.interval, study)} ${study.thicknessUnit} ` +
            `with ${percent(judgement.release.confidence, 0)} confidence, ${judgement.release.within ? 'inside the tolerance' : 'which reaches beyond the tolerance'}`,
      ],
    ]),
    list(judgement.words),
    table(
      'Wafers of the confirmation',
      [
        { label: 'Run' },
        { label: 'Session' },
        { label: inUnit('Measured', study), number: true },
        { label: 'Interval' },
        { label: 'Thickness' },
        { label: 'Non-uniformity (%)', number: true },
      ],
      judgement.runs.map((run) => [
        run.code,
        run.session ?? '–',
        run.state === 'measured' ? thick(run.measured, study) : run.state,
        yes(run.inside, ['within', 'outside']),
        yes(run.inTolerance, ['in tolerance', 'out']),
        `${fixed(run.evenness, 2)}${run.even === null ? '' : run.even ? ', within' : ', outside'}`,
      ]),
    ),
  ]
}

/** Ranges, lots, tools and days beyond which nothing here says anything. */
function limitsOfValidity({ study, runs, fit }: ReportData): string[] {
  const read = runs.filter(
    ({ state, excluded, kind }) => state === 'measured' && excluded === null && kind !== 'monitor',
  )
  const ranges = study.factors.flatMap(({ name, unit, kind }) => {
    const values = read.flatMap(({ settings }) => settings[name] ?? [])
    if (values.length === 0) return []
    if (kind === 'categorical') return [`${name} ${[...new Set(values)].join(', ')}`]
    const numbers = values.filter((value) => typeof value === 'number')
    return [`${name} ${plainNumber(smallest(numbers))} to ${plainNumber(largest(numbers))} ${unit}`.trim()]
  })
  const named = (values: (string | null)[]) =>
    [...new Set(values.filter((value) => value !== null))].join(', ')
  const [lots, sessions] = [named(read.map(({ lot }) => lot)), named(read.map(({ session }) => session))]
  const tools = [study.coater?.name, study.hotPlate?.name, study.gauge?.name].filter(Boolean).join(', ')
  const days = new Set(read.flatMap(({ session }) => session ?? [])).size
  return [
    ranges.length > 0
      ? `Settings that were run: ${ranges.join('; ')}. Beyond them the curve is a guess.`
      : 'No run has been read yet.',
    ...(lots === '' ? [] : [`Lots: ${lots}. Another lot has to be held against these first.`]),
    ...(tools === '' ? [] : [`Tools: ${tools}.`]),
    ...(sessions === '' ? [] : [`Sessions: ${sessions}.`]),
    ...(days < 2
      ? ['All runs belong to one session, so nothing here says how the film differs from day to day.']
      : []),
    ...(fit === null ? [] : [`Intervals are at ${percent(fit.level, 0)}.`]),
    ...(study.simulated ? ['The film of this study is invented: it says nothing of a real resist.'] : []),
  ]
}
