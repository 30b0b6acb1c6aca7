import type { RunMark } from '../charts/curve-chart.ts'
import type { ChartTheme } from '../charts/theme.ts'
import type { Bottle } from '../contract/materials.ts'
import type { KeptRecipe } from '../contract/recipes.ts'
import type { KeptItem } from '../contract/report.ts'
import type { Doubts } from '../contract/results/doubts.ts'
import type { Fit } from '../contract/results/fit.ts'
import type { LotDecision } from '../contract/results/lot-decision.ts'
import type { DesignEvaluation } from '../contract/results/plan.ts'
import type { Scatter } from '../contract/results/scatter.ts'
import type { PlateVisit, Reading, Session, Settings, Stage, Study } from '../contract/things.ts'
import type { Result } from '../contract.ts'
import type { Curve } from '../model/curve.ts'
import type { Problem } from '../problem.ts'

/** What the runs of a stage can tell, by the model that its design was judged by. */
export type StageEvaluation = {
  stage: Stage
  runs: number
  evaluation: DesignEvaluation | null
  problem: string
}

/** The fit of the study over days, with what is drawn of it. */
export type ReportFit = {
  model: string
  /** False where the model was taken for its AICc rather than chosen by a person. */
  chosen: boolean
  level: number
  fit: Fit
  dataHash: string
  /** By run of the fit. */
  codes: string[]
  runOrder: number[]
  /** Where the curve and the surface are drawn. */
  at: Settings
  curve: Curve | null
  /** Runs moved to that place by the fit, each with its own residual. */
  marks: RunMark[]
  surface: Result<'fits.contour'> | null
  doubts: Doubts | null
  scatter: Scatter | null
}

/** The fit of a response beside the thickness, such as a shape term. */
export type OtherFit = {
  response: string
  unit: string
  model: string
  level: number
  fit: Fit
  dataHash: string
}

/** Everything that a report says, as plain data. */
export type ReportData = {
  study: Study
  items: KeptItem[]
  runs: Result<'bench.runs'>
  /** In force, by run. */
  readings: { runId: string; readings: Reading[] }[]
  sessions: Session[]
  plateVisits: PlateVisit[]
  /** Those that the study or one of its sessions names. */
  bottles: Bottle[]
  evaluations: StageEvaluation[]
  fit: ReportFit | null
  fitProblems: Problem[]
  /** Fits of the other responses; what cannot be fitted, as a problem. */
  otherFits: (OtherFit | { response: string; problems: Problem[] })[]
  recipes: (KeptRecipe & { stale: boolean })[]
  lotDecisions: (LotDecision & { stale: boolean })[]
  confirmations: Result<'next.confirmations'>
  ledger: Result<'next.ledger'>
  drift: { recipe: KeptRecipe; watched: Result<'drift.watch'> }[]
  /** SHA-256: of the data as fits see them, and of the two CSV files as this program writes them now. */
  hashes: { study: string; data: string; runsCsv: string; readingsCsv: string }
  versions: { program: string; database: number; node: string; sqlite: string }
  writtenAt: string
  theme: ChartTheme
}
