/** A run with its film, as far as it is measured and not left out: thickness in any unit. */
export type ReferencedRun = {
  runOrder: number
  session: string | null
  reference: boolean
  thickness: number | null
}

/**
 * Thickness of each run over that of its session's reference wafers, which is taken to drift evenly from each of them to
 * the next in run order; before the first and after the last it stays as it was. The references themselves have none:
 * they would be 1 by definition, and look like data without scatter.
 *
 * @returns null where the session has no reference or the run no thickness
 */
export function ratiosToReference(runs: readonly ReferencedRun[]): (number | null)[] {
  return runs.map(({ runOrder, session, reference, thickness }) => {
    if (reference || thickness === null) return null
    const known = runs
      .flatMap((run) =>
        run.reference && run.session === session && run.thickness !== null
          ? [{ at: run.runOrder, thickness: run.thickness }]
          : [],
      )
      .sort((a, b) => a.at - b.at)
    const before = known.filter(({ at }) => at <= runOrder).at(-1) ?? known[0]
    const after = known.find(({ at }) => at >= runOrder) ?? known.at(-1)
    if (!before || !after) return null
    const share = after.at === before.at ? 0 : (runOrder - before.at) / (after.at - before.at)
    return thickness / (before.thickness + share * (after.thickness - before.thickness))
  })
}
