/** Parts of the report, in the order in which they are printed. */
export const reportParts = [
  { value: 'aim', label: 'Purpose and target' },
  { value: 'tools', label: 'Materials and tools' },
  { value: 'program', label: 'Spin program and bake' },
  { value: 'plan', label: 'Plan' },
  { value: 'runs', label: 'Runs' },
  { value: 'fit', label: 'Fitted model' },
  { value: 'ledger', label: 'Predictions kept' },
] as const
export type ReportPartName = (typeof reportParts)[number]['value']
