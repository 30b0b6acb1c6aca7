import type { Preview } from './use-import.ts'

/** What is asked about a column of a file, by what it is taken for. */
export type Column = Preview['columns'][number]
export type Meaning = Column['means']

const named: Meaning[] = ['factor', 'response', 'wide site', 'actual']
const withUnit: Meaning[] = ['x', 'y', 'radius', 'angle', 'reading', 'wide site', 'response', 'factor']
const numbers: Meaning[] = [
  ...withUnit,
  'site',
  'repeat',
  'optical index',
  'block',
  'plate visit',
  'run order',
  'standard order',
]

/** Whether its meaning needs a name beside it: of a factor, a response, a site. */
export const isNamed = ({ means }: Column) => named.includes(means)
export const isSite = ({ means }: Column) => means === 'wide site'
export const hasUnit = ({ means }: Column) => withUnit.includes(means)
/** Whether its cells are numbers, so that their signs may be asked about. */
export const isNumber = ({ means }: Column) => numbers.includes(means)

/** The unit in which its cells are shown once they are read; '' for none. */
export function readUnit({ means, name }: Column): string {
  const isThickness = means === 'reading' || means === 'wide site'
  if (isThickness || (means === 'response' && name === 'thickness')) return 'nm'
  if (['x', 'y', 'radius'].includes(means)) return 'mm'
  return means === 'angle' ? '°' : ''
}
