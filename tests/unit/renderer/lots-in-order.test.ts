import { expect, test } from 'vitest'
import { lotsInOrder } from '../../../renderer/screens/lots/lots-in-order.ts'

test('lots stand as the study names them, whichever was coated first; others come after', () => {
  expect(lotsInOrder(['K2', 'K1', null, 'X', 'K1'], ['K1', 'K2', 'K3'])).toEqual([
    { name: 'K1', count: 2 },
    { name: 'K2', count: 1 },
    { name: 'X', count: 1 },
  ])
})
