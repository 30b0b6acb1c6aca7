import { designMethods } from './design/design-methods.ts'
import { driftMethods } from './drift/drift-methods.ts'
import { filmMethods } from './film/film-methods.ts'
import { gaugeMethods } from './gauge/gauge-methods.ts'
import { lotMethods } from './model/lot-methods.ts'
import { modelMethods } from './model/model-methods.ts'
import { nextMethods } from './next/next-methods.ts'

/** How a result is found: its formula in words and signs, and where it is published or that it is common practice. */
type HowFound = { formula: string; source: string }

/** The methods behind what the program says, each as it is shown one click behind its result. */
export const methods = {
  speedExponent: {
    formula:
      'log t = log t₁ − b · log N: doubling the speed N multiplies the thickness t by 2^−b.\n' +
      'A liquid that does not evaporate has b = 1 while it flows off; evaporation makes it near ½.',
    source:
      'Meyerhofer, J. Appl. Phys. 49, 3993 (1978); Emslie, Bonner & Peck, J. Appl. Phys. 29, 858 (1958).',
  },
  ...modelMethods,
  ...nextMethods,
  ...lotMethods,
  ...driftMethods,
  ...designMethods,
  ...filmMethods,
  ...gaugeMethods,
} satisfies Record<string, HowFound>

export type Method = keyof typeof methods
