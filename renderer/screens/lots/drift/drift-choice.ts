import { defineStore } from 'pinia'
import { reactive } from 'vue'
import type { LimitsFrom, TrendMeasure } from '../../../../shared/contract/results/drift.ts'
import { type DriftRule, usualRules } from '../../../../shared/drift/rules.ts'

/** Which readings set the limits of a recipe, which rules are in force, and what a trend is measured along. */
export type DriftChoice = { limitsFrom: LimitsFrom; rules: DriftRule[]; along: TrendMeasure }

const usual = (): DriftChoice => ({
  limitsFrom: { from: 1, to: null },
  rules: [...usualRules],
  along: 'readings',
})

/** What was chosen for each recipe, as long as the page is open: a look at the bench must not undo it. */
export const useDriftChoice = defineStore('driftChoice', () => {
  const byRecipe = reactive(new Map<string, DriftChoice>())

  function of(recipeId: string): DriftChoice {
    if (!byRecipe.has(recipeId)) byRecipe.set(recipeId, usual())
    return byRecipe.get(recipeId) as DriftChoice
  }
  return { of }
})
