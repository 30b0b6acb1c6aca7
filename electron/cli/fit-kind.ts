import { fitEquation } from '../../shared/model/equation.ts'
import type { GivenBounds } from '../../shared/model/equation-bounds.ts'
import { fitWithExponentPrior } from '../../shared/model/exponent-prior.ts'
import { type AnyFit, fitModel } from '../../shared/model/fit.ts'
import type { Fitted } from '../../shared/model/fitted.ts'
import { fitMixed } from '../../shared/model/mixed.ts'
import { fitRobust } from '../../shared/model/robust.ts'
import { fitSpinCurve } from '../../shared/model/spin-curve.ts'
import { fitSurface } from '../../shared/model/surface.ts'
import type { Table } from '../../shared/model/table.ts'
import { type FitOfFormula, withFrame } from '../../shared/model/target-setting.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import type { ToldFit } from './fit-tables.ts'
import { type Given, numberOf, pairOf, settingsOf, strayOption } from './options.ts'
import { statedOption } from './stated-option.ts'
import { surfaceOptionsOf } from './surface-options.ts'

/** The data of a fit. */
type Data = { table: Table; level: number; weights?: string }

/** What is told of a fit. */
type Told = Pick<AnyFit, 'report' | 'cannotPredict' | 'responseName' | 'responseText' | 'level' | 'unitOf'>

/** A fit, and how it is told. */
export type Found = {
  fitted: Pick<AnyFit, 'report' | 'cannotPredict'>
  told: ToldFit
  /** What a setting for a target is found from; null where the kind of fit gives none. */
  ofFormula: FitOfFormula | null
  /** The fit by plain least squares, where it is one. */
  plain: Fitted | null
}

/** Options that each choose a kind of fit; a model takes one of them at most. */
export const kinds = ['random', 'robust', 'surface', 'exponent-prior'] as const

/** Options that belong to another one. */
const owners = {
  ...Object.fromEntries(kinds.map((kind) => [kind, 'model'])),
  stated: 'random',
  earlier: 'random',
  by: 'spin-curve',
  speed: 'spin-curve',
  thickness: 'spin-curve',
  start: 'equation',
  bounds: 'equation',
  kernel: 'surface',
  trend: 'surface',
  noise: 'surface',
}

/** Which fit is asked for, ready to be made once the file is read. */
export function fitKind(given: Given): Answer<(data: Data) => Answer<Found>> {
  const asked = ['model', 'equation', 'spin-curve'].filter((option) => given.has(option))
  if (asked.length !== 1)
    return refuse('missingOption', 'fit needs --model, --equation or --spin-curve, one of them.')
  const chosen = kinds.filter((kind) => given.has(kind))
  if (given.has('against') && (asked[0] !== 'model' || chosen.length > 0))
    return refuse('badOption', '--against belongs to a least-squares fit of --model.', { column: 'against' })
  const stray = strayOption(given, owners)
  if (!stray.ok) return stray
  if (asked[0] === 'equation') return equationKind(given)
  if (asked[0] === 'spin-curve') return spinCurveKind(given)
  const [kind, other] = chosen
  if (other !== undefined)
    return refuse('badOption', `--${kind} and --${other} are two kinds of fit: choose one.`, {
      column: other,
    })
  const model = given.text('model') ?? ''
  if (kind === undefined)
    return good((data) => {
      const answer = fitModel({ ...data, model })
      const found = toldOfFormula(model, answer)
      return found.ok && answer.ok ? good({ ...found.value, plain: answer.value.fitted }) : found
    })
  const text = given.text(kind) ?? ''
  switch (kind) {
    case 'random': {
      const stated = statedOption(given, 'stated')
      if (!stated.ok) return stated
      const earlier = statedOption(given, 'earlier')
      if (!earlier.ok) return earlier
      const known = { stated: stated.value, earlier: earlier.value }
      return good((data) => toldOfFormula(model, fitMixed({ ...data, ...known, model, random: text })))
    }
    case 'robust':
      if (text !== 'huber' && text !== 'bisquare')
        return refuse('badOption', `--robust is huber or bisquare, not ‘${text}’.`, { column: 'robust' })
      return good((data) => toldOfFormula(model, fitRobust({ ...data, model, kind: text })))
    case 'surface':
      if (text !== 'gp') return refuse('badOption', `--surface is gp, not ‘${text}’.`, { column: 'surface' })
      if (given.has('weights'))
        return refuse('badOption', '--surface takes no weights.', { column: 'weights' })
      return surfaceKind(given, model)
    case 'exponent-prior': {
      const [mean, sd, more] = text.split(',').map((part) => numberOf(part, 'exponent-prior'))
      if (!mean?.ok || !sd?.ok || sd.value <= 0 || more !== undefined)
        return refuse(
          'badOption',
          `--exponent-prior ${text}: it is MEAN,SD, such as 0.5,0.05, with SD above 0.`,
          { column: 'exponent-prior' },
        )
      const prior = { mean: mean.value, sd: sd.value }
      return good((data) => {
        const found = toldOfFormula(model, fitWithExponentPrior({ ...data, model, prior }))
        return found.ok ? good({ ...found.value, told: { ...found.value.told, prior } }) : found
      })
    }
  }
}

function surfaceKind(given: Given, model: string): Answer<(data: Data) => Answer<Found>> {
  const options = surfaceOptionsOf(given)
  return options.ok ? good((data) => told(model, fitSurface({ ...data, model, ...options.value }))) : options
}

function told(text: string, answer: Answer<Told>): Answer<Found> {
  if (!answer.ok) return answer
  const { responseName, responseText, level, unitOf } = answer.value
  // Under a transformation the estimate carried back is the median.
  const estimate = responseText === responseName ? ('mean' as const) : ('median' as const)
  const unit = unitOf(responseName)
  return good({
    fitted: answer.value,
    told: { text, responseName, responseText, unit, unitOf, estimate, level },
    ofFormula: null,
    plain: null,
  })
}

function toldOfFormula(text: string, answer: Answer<AnyFit & { fitted: Fitted }>): Answer<Found> {
  const found = told(text, answer)
  return found.ok && answer.ok ? good({ ...found.value, ofFormula: withFrame(answer.value) }) : found
}

function equationKind(given: Given): Answer<(data: Data) => Answer<Found>> {
  const equation = given.text('equation') ?? ''
  const text = given.text('start')
  if (text === null)
    return refuse('missingOption', 'An equation needs --start a=1e5,b=0.5: where its parameters start.')
  const start = settingsOf(text, 'start')
  if (!start.ok) return start
  const word = Object.values(start.value).find((value) => typeof value !== 'number')
  if (word !== undefined)
    return refuse('badOption', `--start ${text}: ‘${word}’ is no number.`, { column: 'start' })
  const numbers = start.value as Record<string, number>
  const bounds = boundsGiven(given.text('bounds'))
  if (!bounds.ok) return bounds
  return good((data) =>
    told(equation, fitEquation({ ...data, equation, start: numbers, bounds: bounds.value })),
  )
}

function spinCurveKind(given: Given): Answer<(data: Data) => Answer<Found>> {
  const kind = given.text('spin-curve')
  if (kind !== 'power' && kind !== 'offset')
    return refuse('badOption', `--spin-curve is power or offset, not ‘${kind}’.`, { column: 'spin-curve' })
  const columns: Partial<Record<'by' | 'speed' | 'thickness', string>> = {}
  for (const name of ['by', 'speed', 'thickness'] as const) {
    const text = given.text(name)
    if (text !== null) columns[name] = text
  }
  const curve = `thickness = K*speed^(-b)${kind === 'offset' ? ' + offset' : ''}, b the apparent exponent`
  const text = columns.by === undefined ? curve : `${curve}; by ${columns.by}`
  return good((data) => told(text, fitSpinCurve({ ...data, ...columns, kind })))
}

/** Bounds written as `b=0:1,c=0:`, an end left out where it is open. */
function boundsGiven(text: string | null): Answer<GivenBounds> {
  const bounds: GivenBounds = {}
  const bad = (why: string) => refuse('badOption', `--bounds ${text}: ${why}.`, { column: 'bounds' })
  for (const part of text === null ? [] : text.split(',')) {
    const [name, ends] = pairOf(part)
    const [low = '', high = '', ...rest] = ends.split(':').map((end) => end.trim())
    const isPair = ends.includes(':') && rest.length === 0
    if (name === '' || !isPair || (low === '' && high === '')) return bad('write it as b=0:1,c=0:')
    if (Object.hasOwn(bounds, name)) return bad(`‘${name}’ stands there twice`)
    const [lower, upper] = [low, high].map((end) => (end === '' ? good(null) : numberOf(end, 'bounds')))
    if (!lower?.ok) return lower ?? bad('write it as b=0:1,c=0:')
    if (!upper?.ok) return upper ?? bad('write it as b=0:1,c=0:')
    bounds[name] = [lower.value, upper.value]
  }
  return good(bounds)
}
