import type { SurfaceOptions } from '../../shared/model/surface.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { type Given, numberOf, type OptionSpecs, taker } from './options.ts'

/** Options of `fit` that belong to --surface. */
export const surfaceOptions: OptionSpecs = {
  surface: {
    value: 'gp',
    help: 'a Gaussian process over the columns of the model, as a check on its form',
  },
  kernel: {
    value: 'matern|squared-exponential',
    help: 'how smooth the surface is: Matérn with smoothness 5/2 (matern), or without any kink',
  },
  trend: {
    value: 'none|constant|linear|quadratic',
    help: 'what the surface runs about, in the columns of the model (constant)',
  },
  noise: {
    value: 'estimated|replicates|VARIANCE',
    help: 'variance of the noise; 0 is none (from replicates where they leave 3 degrees of freedom)',
  },
}

/** The options of a surface; a problem where one stands without --surface, or is not one of its words. */
export function surfaceOptionsOf(
  given: Given,
): Answer<Required<Pick<SurfaceOptions, 'kernel' | 'trend'>> & Pick<SurfaceOptions, 'noise'>> {
  const { problems, take, word } = taker(given)
  const kernel = word('kernel', ['matern', 'squared-exponential'], 'matern')
  const trend = word('trend', ['none', 'constant', 'linear', 'quadratic'], 'constant')
  const text = given.text('noise')
  const noise = text === null ? null : take(noiseOf(text))
  if (problems.length > 0) return { ok: false, problems }
  return good({
    kernel: kernel === 'matern' ? 'matern52' : 'squaredExponential',
    trend,
    ...(noise === null ? {} : { noise }),
  })
}

function noiseOf(text: string): Answer<'estimated' | 'replicates' | number> {
  if (text === 'estimated' || text === 'replicates') return good(text)
  const variance = numberOf(text, 'noise')
  if (variance.ok && variance.value >= 0) return variance
  return refuse('badOption', `--noise ${text}: it is estimated, replicates or a variance, 0 for none.`, {
    column: 'noise',
  })
}
