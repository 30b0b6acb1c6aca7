/** Longer than any label should be, as a person will type it all the same. */
export const longWords =
  'Thick positive resist on 150 mm wafers with an adhesion promoter, second lot of the spring campaign'

export type SampleRun = { code: string; speed: string; mean: string; note: string }

export const sampleRuns: SampleRun[] = [
  { code: 'W01', speed: '3250', mean: '1502.4', note: '' },
  { code: 'W02', speed: '4500', mean: '1274.0', note: longWords },
  { code: 'W03', speed: '2000', mean: '1998.7', note: 'streaks from the centre' },
]
