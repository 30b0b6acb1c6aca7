import type { Result } from '../../shared/contract.ts'

type Summary = Result<'studies.list'>[number]

/** Runs of a study in all, without those that were dropped. */
export const runsInAll = (study: Summary) => study.runsPlanned + study.runsMeasured

/** The studies whose name or question holds every word typed, newest change first; archived ones on demand. */
export function findStudies(
  studies: readonly Summary[],
  options: { words: string; archived: boolean },
): Summary[] {
  const words = options.words.toLocaleLowerCase().split(/\s+/).filter(Boolean)
  return studies
    .filter((study) => options.archived || !study.archived)
    .filter((study) => {
      const text = `${study.name} ${study.question}`.toLocaleLowerCase()
      return words.every((word) => text.includes(word))
    })
    .sort((one, other) => other.changedAt.localeCompare(one.changedAt))
}
