import type { DesignSettings, Factor } from '../../shared/contract/things.ts'
import type { TestEngine } from './engine-in-folder.ts'

export const continuous = (
  name: string,
  role: Factor['role'],
  unit: string,
  range: [number, number],
  levels: number,
): Factor => ({
  name,
  role,
  unit,
  kind: 'continuous',
  low: range[0],
  high: range[1],
  levels,
  levelNames: [],
  step: null,
  scale: 'linear',
  hardToChange: role === 'bake temperature',
})

export const speed = continuous('speed', 'speed', 'rpm', [2000, 4000], 3)
export const time = continuous('time', 'time', 's', [20, 60], 2)
export const bake = continuous('bake', 'bake temperature', '°C', [90, 110], 3)

export const design: DesignSettings = {
  kind: 'full',
  replicates: 1,
  centre: 0,
  blocks: 1,
  seed: 1,
  sigma: null,
  power: 0.8,
}

/** A study with a planned grid of 3 × 2 × 3; its id and that of the stage. */
export async function plannedStudy({ ok }: TestEngine, factors: Factor[] = [speed, time, bake]) {
  const { studyId } = await ok('studies.create', {
    study: { name: 'Sweep', targetNm: 1500, toleranceNm: 30, lots: ['A', 'B'] },
  })
  const { stageId } = await ok('plans.save', { studyId, factors, design })
  const runs = await ok('bench.runs', { studyId })
  return { studyId, stageId, runs }
}

/** The model of the demo study that tests ask about. */
export const model = 'log(thickness) ~ log(speed) + time + time^2 + bake + bake^2 + log(speed).time'

/** The demo study with a question about its fit. */
export async function demoStudy(engine: TestEngine) {
  const { studyId } = await engine.ok('studies.demo', { seed: 7 })
  const runs = await engine.ok('bench.runs', { studyId })
  return { studyId, runs, question: { studyId, response: 'thickness', model } }
}
