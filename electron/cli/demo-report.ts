import { lotMargin } from '../../shared/model/lot-margin.ts'
import { chanceInWords } from '../../shared/next/reason.ts'
import { inScope, scopeWords } from '../../shared/next/scope.ts'
import { cautions } from '../../shared/process/cautions.ts'
import { offsetInWords } from '../../shared/process/plate-offset.ts'
import type { DemoJob } from './demo-job.ts'
import { digits, honest, percent, probability, settingsInWords, span } from './print.ts'

/** The report of the demo as Markdown, to be read by a person. */
export function demoReport(job: DemoJob, seed: number): string {
  return [
    ...purpose(job, seed),
    ...tools(job),
    ...planAndFilm(job),
    ...fitted(job),
    ...next(job),
    ...lots(job),
    '## Before you coat',
    '',
    ...cautions().map((caution) => `- ${caution}`),
    '',
  ].join('\n')
}

function markdownTable(headings: string[], rows: string[][]): string[] {
  const line = (cells: string[]) => `| ${cells.join(' | ')} |`
  return [line(headings), line(headings.map(() => '---')), ...rows.map(line), '']
}

function purpose({ scenario: { study } }: DemoJob, seed: number): string[] {
  return [
    `# ${study.name}`,
    '',
    '**An invented film. Nothing in this report was coated, baked or read: the resist, the tools and every',
    `reading are simulated (seed ${seed}).**`,
    '',
    `Question: ${study.question}`,
    '',
    `Target ${study.targetNm} ± ${study.toleranceNm} nm; non-uniformity, half the range over the mean, at most ` +
      `${study.uniformityLimit} %, from ${study.siteMap} sites with ${study.edgeExclusionMm} mm edge exclusion on ` +
      `${study.diameterMm} mm.`,
    '',
  ]
}

function tools({ scenario: { study, coater, hotPlate, gauge } }: DemoJob): string[] {
  return [
    '## Tools',
    '',
    `Resist ${study.resist}, lots ${study.lots.join(' and ')}; ${study.substrate}.`,
    `Coater ${coater.name}: the time of a segment ${coater.rampInside ? 'includes' : 'does not include'} its ramp.`,
    `Hot plate ${hotPlate.name}: ${offsetInWords(hotPlate)}; temperatures below are those of the display.`,
    `Gauge: ${gauge.name}, repeatability ${gauge.repeatability} nm, reload ${gauge.reload} nm.`,
    '',
    ...markdownTable(
      ['segment', 'speed (rpm)', 'ramp (rpm/s)', 'time (s)'],
      study.program.map(({ rpm, ramp, time }, i) => [String(i + 1), String(rpm), String(ramp), String(time)]),
    ),
  ]
}

function planAndFilm({ scenario, wafers, films, sweep }: DemoJob): string[] {
  const { factors, stages } = scenario
  return [
    '## Plan and readings',
    '',
    `${stages.map(({ title, runs }) => `${title}: ${runs.length} wafers`).join('. ')}. The curve is fitted to the ` +
      `first ${sweep.length}. Wafers stand in the order in which they were run; nothing was left out.`,
    '',
    ...markdownTable(
      [
        'wafer',
        'session',
        'lot',
        'kind',
        ...factors.map(({ name, unit }) => `${name} (${unit})`),
        'mean (nm)',
        'half-range / mean (%)',
      ],
      wafers.map((wafer, i) => [
        wafer.code,
        wafer.session ?? '',
        wafer.lot ?? '',
        wafer.kind,
        ...Object.values(wafer.settings).map(String),
        honest(films[i]?.mean, films[i]?.standardUncertainty),
        digits(films[i]?.nonUniformity.halfRangeOverMean, 3),
      ]),
    ),
  ]
}

function fitted({ model, report }: DemoJob): string[] {
  return [
    '## Fit',
    '',
    `\`${model.fitted.text}\` on the natural logarithm of the mean in nm. ${report.n} wafers, ${report.df} degrees of ` +
      `freedom left. One wafer scatters by ${percent(report.residualStandardDeviation, 2)} about the surface; ` +
      `R² ${report.rSquared?.toFixed(4)}, predicted R² ${report.rSquaredPredicted?.toFixed(4)}.`,
    '',
    ...markdownTable(
      ['term', 'estimate', 'standard error', 'lower', 'upper', 'p'],
      report.terms.map((term) => [
        term.term,
        honest(term.estimate, term.standardError === null ? null : term.standardError / 10),
        digits(term.standardError, 3),
        honest(term.lower, term.standardError),
        honest(term.upper, term.standardError),
        probability(term.p),
      ]),
    ),
    ...(report.lackOfFit === null
      ? []
      : [
          `Lack of fit against the repeated centre point: F(${report.lackOfFit.df}, ${report.lackOfFit.pureErrorDf}) = ` +
            `${digits(report.lackOfFit.f, 3)}, p ${probability(report.lackOfFit.p)}.`,
          '',
        ]),
    ...report.problems.map(({ message }) => `- ${message}`),
    '- Wafers of one plate visit share what the plate really did; the errors above take every wafer as its own.',
    '',
  ]
}

function next({ next: choices, recipeCheck }: DemoJob): string[] {
  return [
    '## Next run',
    '',
    ...choices.flatMap((choice) => [
      `- **${settingsInWords(choice.settings)}** (${{ reach: 'to reach the target', learn: 'to learn', both: 'both' }[choice.aim]}): ` +
        `${honest(choice.estimate, choice.standardErrorOfMean)} nm, one wafer ${scopeWords[choice.scope]} ` +
        `${span(inScope(choice).interval)} nm, chance in tolerance ${chanceInWords(inScope(choice).chance)}. ` +
        `${choice.reason} Cost ${choice.cost.minutes.toFixed(0)} min, ${choice.cost.resistMl} mL` +
        `${choice.cost.plateChange ? ', with a change of the plate' : ''}.`,
    ]),
    '',
    recipeCheck.ok
      ? 'The program of the first choice is within the limits of the tools, which nobody has confirmed.'
      : 'The program of the first choice is outside the limits of the tools:',
    ...recipeCheck.findings.map(({ message }) => `- ${message}`),
    '',
  ]
}

function lots({ comparison, scenario }: DemoJob): string[] {
  const { tests, shifts, reference } = comparison
  const { margin, from } = lotMargin(scenario.study)
  const speed = ({ speedFor, speedSet }: Pick<typeof reference, 'speedFor' | 'speedSet'>) =>
    `${digits(speedFor, 4)}, set to ${digits(speedSet, 4)}`
  const words = { same: 'One curve for all lots', parallel: 'Parallel curves' }
  const equal = { true: 'yes', false: 'not shown', null: 'not judged' }
  const change = (ratio: number | null) => (ratio === null ? '–' : percent(ratio - 1, 2))
  return [
    '## Lots',
    '',
    ...tests.map(
      ({ question, f, df1, df2, p }) =>
        `- ${words[question]}: F(${df1}, ${digits(df2, 3)}) = ${digits(f, 3)}, p ${probability(p)}.`,
    ),
    '',
    ...markdownTable(
      [
        'lot',
        `shift from ${reference.group}`,
        'interval',
        `speed for ${scenario.study.targetNm} nm`,
        `equal within ${percent(margin, 2)}`,
      ],
      [
        [reference.group, '', '', speed(reference), ''],
        ...shifts.map((shift) => [
          shift.group,
          change(shift.ratio),
          `${change(shift.lower)} to ${change(shift.upper)}`,
          speed(shift),
          equal[`${shift.equivalent}`],
        ]),
      ],
    ),
    `The margin is ${from}.`,
    'Whether a lot is taken as it is, corrected or sent back is for a person to decide.',
    '',
  ]
}
