import { startEngine } from '../../electron/engine/engine.ts'
import type { Args, CallName, Result } from '../../shared/contract.ts'
import { siteMap } from '../../shared/film/site-map.ts'
import { bake, design, speed, time } from '../engine/studies-for-tests.ts'

/** A database with one study of so many runs, all but the last read at every site and with a model; the numbers are invented. */
export async function typingStudy(
  databaseFile: string,
  count: number,
  siteMapName: '9' | '49' = '49',
): Promise<{ studyId: string; runId: string }> {
  const engine = await startEngine({ databaseFile })
  const ok = async <N extends CallName>(name: N, args: Args<N>): Promise<Result<N>> => {
    const answer = await engine.call(name, args)
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    return answer.value as Result<N>
  }
  try {
    const study = { name: 'Typed', targetNm: 1500, toleranceNm: 30, siteMap: siteMapName, lots: ['A'] }
    const { studyId } = await ok('studies.create', { study })
    await ok('plans.save', {
      studyId,
      factors: [
        { ...speed, step: 50 },
        { ...time, step: 1 },
        { ...bake, step: 1 },
      ],
      design: { ...design, kind: 'space', runs: count },
    })
    const runs = await ok('bench.runs', { studyId })
    const sites = siteMap({ name: siteMapName, diameterMm: 100, edgeExclusionMm: 6 })
    const textAt = (run: number, site: number) => {
      const { speed: rpm, time: seconds } = runs[run]?.settings ?? {}
      const film = 1500 * Math.sqrt(3000 / Number(rpm)) * (1 - 0.0005 * Number(seconds))
      return (film * (1 + 0.003 * Math.sin(7 * run + 3 * site))).toFixed(1)
    }
    for (let from = 0; from < count - 1; from += 50)
      await ok('bench.enterBlock', {
        studyId,
        unit: 'nm',
        runs: runs.slice(from, Math.min(from + 50, count - 1)).map(({ id }, i) => ({
          runId: id,
          readings: sites.map(({ site }) => ({ site, text: textAt(from + i, site) })),
        })),
      })
    await ok('studies.setModel', { studyId, model: 'log(thickness) ~ log(speed) + time + bake' })
    return { studyId, runId: runs.at(-1)?.id as string }
  } finally {
    await engine.close()
  }
}
