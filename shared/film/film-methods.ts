/** How a film is summed up; rows of `methods.ts`. */
export const filmMethods = {
  filmMean: {
    formula:
      'Mean and standard deviation s over the sites that count; of a site that is read several times over, its mean.\n' +
      'Mean by area: each site weighted by the part of the measured face that lies nearest to it.',
    source: 'Common practice, no source.',
  },
  nonUniformity: {
    formula:
      'By range: (max − min) over 2·mean, over max + min, over mean, over 2·max or over max. By deviation: s over mean.\n' +
      'A range grows with the number of sites, so that figures compare only between maps of as many sites.',
    source:
      'Common practice, no source: tools and papers differ, and a figure means little without its formula.',
  },
  filmShape: {
    formula:
      'Least squares over the sites, with ρ the distance from the centre over the radius: bowl 2ρ² − 1, ring ' +
      '6ρ⁴ − 6ρ² + 1, wedge ρ·cos and ρ·sin; each as a share of the mean.',
    source:
      'Circle polynomials: Zernike, Physica 1, 689 (1934; page from memory), without their scale factors.',
  },
  filmUncertainty: {
    formula:
      'u² = s²/n of what the shape leaves + repeatability²/readings + reload² + (calibration · mean)².\n' +
      'Effective degrees of freedom u⁴ / Σ(uᵢ⁴/νᵢ).',
    source: 'JCGM 100:2008, 4.2, 5.1.2 and G.4.',
  },
}
