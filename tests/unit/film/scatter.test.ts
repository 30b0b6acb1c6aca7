import { describe, expect, test } from 'vitest'
import { type ScatterSubstrate, whereScatterComesFrom } from '../../../shared/film/scatter.ts'
import { scatterSentence } from '../../../shared/film/scatter-words.ts'
import { siteMap } from '../../../shared/film/site-map.ts'
import { type Random, seeded } from '../../../shared/random.ts'

const sites = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 })

/** Wafers of two settings with a bowl, a ring and a wedge that are no scatter, read `repeats` times at nine sites. */
function invented(
  random: Random,
  plan: {
    sessions: number
    wafers: number
    repeats: number
    sd: Record<'session' | 'wafer' | 'site' | 'repeat', number>
  },
): ScatterSubstrate[] {
  const { sd } = plan
  return Array.from({ length: plan.sessions }, (_, s) => {
    const session = sd.session * random.normal()
    return Array.from({ length: plan.wafers }, (_, w): ScatterSubstrate => {
      const level = Math.log(w % 2 === 0 ? 1500 : 1200) + session + sd.wafer * random.normal()
      const [bowl, ring, wedge] = [0.01, 0.004, 0.006].map((size) => size * random.normal())
      return {
        ...{ session: `day ${s}`, plateVisit: '', wafer: `W${s}-${w}`, setting: String(w % 2), columns: {} },
        readings: sites.flatMap(({ site, xMm, yMm }) => {
          const r2 = (xMm ** 2 + yMm ** 2) / 50 ** 2
          const shape = bowl! * (2 * r2 - 1) + ring! * (6 * r2 ** 2 - 6 * r2 + 1) + wedge! * (xMm / 50)
          const own = level + shape + sd.site * random.normal()
          return Array.from({ length: plan.repeats }, () => ({
            ...{ site, x: xMm, y: yMm },
            value: Math.exp(own + sd.repeat * random.normal()),
          }))
        }),
      }
    })
  }).flat()
}

function scatter(substrates: ScatterSubstrate[], more: { repeatability?: number; model?: string } = {}) {
  return whereScatterComesFrom({ substrates, radiusMm: 50, model: null, repeatability: null, ...more })
}
function found(...args: Parameters<typeof scatter>) {
  const answer = scatter(...args)
  if (!answer.ok) throw new Error(answer.problems.map(({ message }) => message).join('\n'))
  return answer.value
}

describe('scatter that is known', () => {
  const sd = { session: 0.005, wafer: 0.0035, site: 0.0012, repeat: 0.0007 }
  const studies = 100
  const random = seeded(20)
  const all = Array.from({ length: studies }, () =>
    found(invented(random, { sessions: 4, wafers: 4, repeats: 2, sd })),
  )
  const of = (level: keyof typeof sd) =>
    all.map(({ components }) => components.find((one) => one.level === level)!)

  test('the shape of the wafers is no scatter of their sites, and takes its degrees of freedom', () => {
    // Sixteen wafers of nine sites and five shape terms, of which one is the mean; two readings a site.
    expect(of('site')[0]?.df).toBe(16 * 4)
    expect(of('repeat')[0]?.df).toBe(16 * 9)
    for (const level of ['site', 'repeat'] as const) {
      const variances = of(level).map(({ standardDeviation }) => standardDeviation ** 2)
      const mean = variances.reduce((sum, value) => sum + value, 0) / studies
      const spread = Math.sqrt(
        variances.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (studies - 1) / studies,
      )
      expect(Math.abs(mean - sd[level] ** 2), level).toBeLessThan(4 * spread)
    }
  })

  test('intervals hold the true standard deviation as often as they say', () => {
    // 95 % of 100 with a binomial standard error of 2.2 %: four of them below; wider ones are allowed.
    for (const level of Object.keys(sd) as (keyof typeof sd)[]) {
      const held = of(level).filter(
        ({ lower, upper }) => lower <= sd[level] && (upper === null || sd[level] <= upper),
      ).length
      expect(held / studies, level).toBeGreaterThan(0.95 - 4 * 0.0218)
    }
  })
})

describe('what the readings do not say', () => {
  const random = seeded(3)
  const sd = { session: 0, wafer: 0.004, site: 0.001, repeat: 0.0005 }
  const one = invented(random, { sessions: 1, wafers: 6, repeats: 1, sd })

  test('one session says nothing of another day', () => {
    const { components, problems, sentence } = found(one)
    expect(components.map(({ level }) => level)).toEqual(['wafer', 'site'])
    expect(problems.map(({ code }) => code)).toEqual(['sessionUnknown'])
    expect(sentence).toMatch(
      /^Most of the scatter of a mean is between wafers \(\d+ %\): one more site would hardly narrow it\./,
    )
  })

  test('where nothing was read twice the gauge’s page divides sites from repeats', () => {
    const [, , repeat] = found(one, { repeatability: 0.6 }).components
    const [, site] = found(one).components
    const { components, mean } = found(one, { repeatability: 0.6 })
    expect(repeat).toMatchObject({ level: 'repeat', source: 'gauge', df: null })
    expect(repeat?.standardDeviation).toBeCloseTo(0.6 / mean, 12)
    expect(components[1]!.standardDeviation ** 2 + repeat!.standardDeviation ** 2).toBeCloseTo(
      site!.standardDeviation ** 2,
      12,
    )
  })

  test('wafers that were never made alike need a model', () => {
    const different = one.map((wafer, i) => ({
      ...wafer,
      setting: String(i),
      columns: { speed: 2000 + 300 * i },
    }))
    expect(scatter(different)).toMatchObject({ ok: false, problems: [{ code: 'noReplicates' }] })
    expect(found(different, { model: 'log(speed)' })).toMatchObject({ after: 'model', model: 'log(speed)' })
    expect(scatter(one.slice(0, 1))).toMatchObject({ ok: false, problems: [{ code: 'tooFew' }] })
  })

  test('of wafers whose settings nobody knows nothing is said of how they differ', () => {
    const unknown = one.map((wafer) => ({ ...wafer, setting: null }))
    expect(scatter(unknown)).toMatchObject({ ok: false, problems: [{ code: 'settingsUnknown' }] })
    // One wafer without settings is like no other: the five that are left still have replicates.
    expect(found(one.map((wafer, i) => (i === 0 ? { ...wafer, setting: null } : wafer))).after).toBe(
      'settings',
    )
  })

  test('where nothing more would help, nothing is said to help', () => {
    const part = (level: 'wafer' | 'site', shareOfMean: number) =>
      ({ ...found(one).components[0]!, level, shareOfMean, df: 1 }) as const
    const more = [
      { level: 'wafer' as const, count: 2, standardUncertainty: 0.98 },
      { level: 'site' as const, count: 10, standardUncertainty: 0.99 },
    ]
    expect(scatterSentence([part('wafer', 0.9), part('site', 0.1)], 1, more)).toBe(
      'Most of the scatter of a mean is between wafers (90 %). One more of anything would hardly narrow it: ' +
        'the best, one more wafer, by 2 %. That rests on 1 degree of freedom, and is hardly known.',
    )
    // Averaged over so many already that one more of the largest source is nothing.
    const many = [
      { level: 'plateVisit' as const, count: 2, standardUncertainty: 0.71 },
      { level: 'site' as const, count: 50, standardUncertainty: 0.99 },
    ]
    expect(scatterSentence([part('site', 1)], 1, many)).toContain(
      'between sites (100 %), yet one more site would hardly narrow it. One more plate visit would narrow it by 29 %.',
    )
  })

  test('sessions that shared no setting are left to the wafers', () => {
    const apart = invented(random, { sessions: 2, wafers: 4, repeats: 1, sd }).map((wafer) => ({
      ...wafer,
      setting: `${wafer.session} ${wafer.setting}`,
    }))
    const { components, problems } = found(apart)
    expect(components.map(({ level }) => level)).toEqual(['wafer', 'site'])
    expect(problems[0]?.message).toContain('no setting was repeated in another one')
  })
})
