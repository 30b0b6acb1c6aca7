import type { ReportPart } from '../contract/report.ts'

/** Headings of the parts, which are their names on the page too. */
export const partTitles: Record<ReportPart, string> = {
  aim: 'Question and target',
  conditions: 'Conditions',
  tools: 'Tools',
  lots: 'Resist and lots',
  design: 'Design and what it can tell',
  runs: 'Runs',
  films: 'Films',
  fits: 'Fitted model',
  checks: 'Checks of the model',
  otherFits: 'Shape and other responses',
  decision: 'Decision and limits of validity',
  ledger: 'Predictions kept',
  drift: 'Watch on kept recipes',
  cautions: 'Cautions',
  exclusions: 'Left out, with reasons',
  readings: 'Raw readings',
  methods: 'How the numbers were found',
  origin: 'Data and versions',
}
