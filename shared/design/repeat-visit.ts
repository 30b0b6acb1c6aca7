import type { Plan } from '../contract/results/plan.ts'
import type { DesignSettings, Factor } from '../contract/things.ts'
import type { Answer } from '../problem.ts'
import { fitsSlot, longestSession } from '../process/timeline.ts'

/**
 * Visits one setting of the hard factors twice where the hours booked allow it and the settings leave the number of
 * visits open: the middle one, first and last, so that a gross drift is noticed. What was decided is said in the words
 * of the order, with the reason. Designs with several blocks come back to their settings anyway.
 *
 * @param options.plan the plan with one visit a setting
 * @param options.planWith the plan for a number of visits
 */
export function repeatWhereItFits(options: {
  factors: readonly Factor[]
  design: DesignSettings
  plan: Plan
  planWith: (visits: number) => Answer<Plan>
}): Plan {
  const { factors, design, plan, planWith } = options
  const { slotMinutes } = plan.timeline
  const open = design.visits === undefined && design.blocks === 1 && slotMinutes !== null
  const once = visitedOnce(factors, plan)
  if (!open || once === null || !fitsSlot(plan.timeline)) return plan
  const again = planWith(once + 1)
  if (!again.ok) return plan
  const more = Math.round(longestSession(again.value.timeline) - longestSession(plan.timeline))
  const hours = `the ${Number((slotMinutes / 60).toPrecision(3))} h booked`
  return fitsSlot(again.value.timeline)
    ? said(again.value, `One setting is visited twice, since ${hours} allow the ${more} min that it takes.`)
    : said(plan, `No setting is visited twice: the ${more} min that it takes do not fit ${hours}.`)
}

const said = (plan: Plan, words: string): Plan => ({ ...plan, orderInWords: `${plan.orderInWords} ${words}` })

/** The number of visits, or null where there are none or where a setting comes again as it is. */
function visitedOnce(factors: readonly Factor[], { runs }: Plan): number | null {
  const hard = factors.filter((factor) => factor.hardToChange)
  const own = runs.filter(({ kind }) => kind !== 'kept' && kind !== 'reference')
  const settings = own.map((run) => JSON.stringify(hard.map(({ name }) => run.settings[name])))
  const visits = new Set(own.map((run) => run.plateVisit)).size
  return hard.length > 0 && visits === new Set(settings).size ? visits : null
}
