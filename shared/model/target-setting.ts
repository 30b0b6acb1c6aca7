import type { TargetSetting } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { largest, smallest } from '../extremes.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { columnOf, type Expression } from './expression.ts'
import type { AnyFit } from './fit.ts'
import type { Fitted } from './fitted.ts'
import type { Formula } from './formula.ts'
import type { Frame } from './frame.ts'
import { workingPoint } from './groups.ts'
import { type Along, type Reached, settingReached, whereReached } from './inverse-prediction.ts'
import { targetSentence } from './prediction-words.ts'
import { toModel } from './response.ts'
import type { Column } from './table.ts'

/** A fit of any kind of a formula, with what it was fitted to. */
export type FitOfFormula = { model: AnyFit; frame: Frame; formula: Formula }

/** The same of a fit that carries them. */
export function withFrame(model: AnyFit & { fitted: Fitted }): FitOfFormula {
  return { model, frame: model.fitted.frame, formula: model.fitted.formula }
}

export type TargetQuestion = {
  /** A numeric column of the model. */
  factor: string
  /** In the response's own unit. */
  target: number
  /** The other factors; their median or commonest level where not given. */
  at?: Settings
  /** Of the intervals; that of the fit unless given. */
  level?: number
}

/**
 * The setting of one factor at which the fitted curve reaches a target, such as the speed for a thickness, with the
 * settings at which the mean may be the target and those at which one new run may read it: where the interval of the
 * prediction holds the target. For least squares that is Fieller's interval, on a straight line, also one in
 * logarithms, the exact one. An end without a bound is null, as where the slope is not clearly other than 0.
 *
 * @returns a problem with code `unknownColumn`, `outsideDomain` or `targetNotReached`, or why there is no prediction
 */
export function settingForTarget(
  fit: FitOfFormula,
  question: TargetQuestion,
): Answer<Pick<TargetSetting, 'setting' | 'lower' | 'upper' | 'oneRun' | 'scope' | 'at'>> {
  const found = curveTo(fit, question)
  if (!found.ok) return found
  const { eta, range, at, scope, predicted } = found.value
  const { scale } = fit.frame
  const { factor } = question
  // On the model's scale; under a root the lower end may be cut off at 0, so the wider side is taken.
  const along =
    (of: 'confidence' | 'prediction'): Along =>
    (x) => {
      const found = predicted(x)
      if (!found) return null
      const estimate = toModel(scale, found.estimate)
      const reach = Math.max(...found[of].map((end) => Math.abs(toModel(scale, end) - estimate)))
      return { estimate, variance: reach ** 2 }
    }
  const where = (of: 'confidence' | 'prediction'): Reached | null =>
    whereReached(along(of), { level: eta, ...range, reach: 1 })
  const [mean, oneRun] = [where('confidence'), where('prediction')]
  if (!mean || !oneRun)
    return refuse(
      'targetNotReached',
      `The curve does not reach ${question.target} near the tested settings of ${factor}.`,
      { column: factor },
    )
  return good({
    setting: mean.value,
    lower: mean.lower,
    upper: mean.upper,
    oneRun: { lower: oneRun.lower, upper: oneRun.upper },
    scope,
    at: { ...at, [factor]: mean.value },
  })
}

/** The setting of {@link settingForTarget} without its intervals; null where there is none. */
export function settingAlone(fit: FitOfFormula, question: TargetQuestion): number | null {
  const found = curveTo(fit, question)
  if (!found.ok) return null
  const { eta, range, predicted } = found.value
  const estimate = (x: number) => {
    const there = predicted(x)
    return there ? toModel(fit.frame.scale, there.estimate) : null
  }
  return settingReached(estimate, { level: eta, ...range })
}

/** The fitted curve over a factor, and the target on its scale. */
function curveTo(
  { model, frame, formula }: FitOfFormula,
  { factor, target, level = model.level, ...options }: TargetQuestion,
) {
  const { scale } = frame
  const column = frame.columns.find(({ name }) => name === factor)
  if (!column || factor in frame.levels)
    return refuse('unknownColumn', `${factor} is no numeric column of the model.`, { column: factor })
  const eta = toModel(scale, target)
  if (!Number.isFinite(eta))
    return refuse('outsideDomain', `${scale.name} cannot be ${target} on the model’s scale.`, {
      column: 'target',
    })
  const at = { ...workingPoint(frame), ...options.at }
  const first = model.predict([at], { level, widest: true })[0]
  if (!first) return { ok: false as const, problems: model.cannotPredict([at]) }
  return good({
    eta,
    at,
    scope: first.scope,
    predicted: (x: number) => model.predict([{ ...at, [factor]: x }], { level, widest: true })[0],
    range: testedRange({ frame, formula }, column),
  })
}

/** The lowest and the highest setting of a numeric column, and whether the model needs it to stay above 0. */
export function testedRange(
  { frame, formula }: Pick<FitOfFormula, 'frame' | 'formula'>,
  { name, values }: Column,
): { tested: readonly [number, number]; positive: boolean } {
  const used = frame.rows.map((row) => values[row] as number)
  const tested = [smallest(used), largest(used)] as const
  const parts = formula.terms.flat().filter((part) => columnOf(part) === name)
  return { tested, positive: tested[0] > 0 && parts.some(needsPositive) }
}

/** Whether a part of a formula has no value at 0 and below. */
function needsPositive(part: Expression): boolean {
  if (part.kind === 'column') return false
  if (part.kind === 'power') return part.exponent < 0 || needsPositive(part.of)
  return part.name !== 'exp' || needsPositive(part.of)
}

/** The same as a result, in words too; problems as of {@link settingForTarget}. */
export function targetSetting(fit: FitOfFormula, question: TargetQuestion): Answer<TargetSetting> {
  const found = settingForTarget(fit, question)
  if (!found.ok) return found
  const { factor, target, level = fit.model.level } = question
  const { name } = fit.frame.scale
  return good({
    column: factor,
    ...found.value,
    words: targetSentence(
      { column: factor, ...found.value },
      {
        target,
        shown: { name, unit: fit.model.unitOf(name), of: (value) => value },
        unit: fit.model.unitOf(factor),
        level,
      },
    ),
  })
}
