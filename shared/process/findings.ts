import type { Finding } from '../contract/results/check.ts'

/** A finding outside a limit; its sentence, without the stop, says where the limit is not confirmed by a person. */
export function outside(finding: Omit<Finding, 'severity'>): Finding {
  const { limitConfirmed, message } = finding
  return {
    ...finding,
    severity: 'outside',
    message: limitConfirmed ? `${message}.` : `${message}; limit not confirmed.`,
  }
}

/** A finding that is no limit but worth a look. */
export function warning(finding: Omit<Finding, 'severity'>): Finding {
  return { ...finding, severity: 'warning' }
}
