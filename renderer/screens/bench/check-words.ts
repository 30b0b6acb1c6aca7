import type { Finding } from '../../../shared/contract/results/check.ts'

/** What each check compares. */
export const checkWords: Record<Finding['code'], string> = {
  ramp: 'Ramps fit into their segments',
  dwell: 'Time at speed of the main segment',
  speed: "Speed against the coater's limit",
  chuck: 'Chuck against the substrate',
  bake: "Bake against the plate's limit",
  acceleration: "Acceleration against the coater's limit",
  reached: 'Speed that sets the thickness is reached',
  resist: 'Speed and bake against the resist',
  total: 'Time against the plan',
  settle: 'Time since the plate was set',
  bowl: 'Dummies after the bowl was cleaned',
  bottle: 'Bottle: expiry, warming up, openings',
}
