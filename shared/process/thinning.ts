/**
 * What physics expects of a liquid film on a spinning substrate, in SI units but for the speed in rpm. These
 * laws give the form of a spin curve; the numbers of a real resist come from its own fit.
 */

/** A Newtonian liquid that does not evaporate: density in kg/m³, viscosity in Pa·s. */
export type Liquid = { density: number; viscosity: number }

const radiansPerSecond = (rpm: number) => (2 * Math.PI * rpm) / 60

/** Rate constant of thinning by flow: dh/dt = −2Kh³, K in 1/(m²·s). */
function flowRate({ density, viscosity }: Liquid, rpm: number): number {
  return (density * radiansPerSecond(rpm) ** 2) / (3 * viscosity)
}

/**
 * Thickness in m of a flat film after `time` s of spinning, from `start` m, by flow alone (Emslie, Bonner &
 * Peck, J. Appl. Phys. 29 (1958) 858).
 */
export function thinnedByFlow(liquid: Liquid, spin: { rpm: number; time: number; start: number }): number {
  return spin.start / Math.sqrt(1 + 4 * flowRate(liquid, spin.rpm) * spin.start ** 2 * spin.time)
}

/** What `thinnedByFlow` tends to, m, whatever the start: proportional to 1/speed and 1/√time. */
export function thinnedLong(liquid: Liquid, spin: { rpm: number; time: number }): number {
  return 1 / Math.sqrt(4 * flowRate(liquid, spin.rpm) * spin.time)
}

/**
 * Thickness in m of the dried film: flow until it takes away no more than evaporation does, drying after
 * that (Meyerhofer, J. Appl. Phys. 49 (1978) 3993). With evaporation that grows with the square root of the
 * speed, as air over a spinning disc makes it, thickness goes with speed^(−1/2).
 *
 * @param solids volume share of what stays behind, 0 to 1
 * @param evaporation m/s of liquid at this speed
 */
export function driedThickness(
  liquid: Liquid,
  spin: { rpm: number; solids: number; evaporation: number },
): number {
  const atTransition = spin.evaporation / (2 * (1 - spin.solids) * flowRate(liquid, spin.rpm))
  return spin.solids * Math.cbrt(atTransition)
}
