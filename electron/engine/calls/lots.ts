import { good } from '../../../shared/problem.ts'
import type { Handlers } from './handler.ts'
import { fitInput } from './study-fit.ts'

export const lots: Handlers<'lots.compare'> = {
  'lots.compare': {
    computation: 'comparison',
    ask({ by, groups, target, margin, ...question }, store) {
      const input = fitInput(store, question, [by])
      return input.ok ? good({ ...input.value, by, groups, target, margin }) : input
    },
    finish: good,
  },
}
