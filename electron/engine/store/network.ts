import { statfsSync } from 'node:fs'
import { dirname } from 'node:path'
import type { Problem } from '../../../shared/problem.ts'

/** Types of network file systems as Linux numbers them (statfs(2)): NFS, SMB, SMB2, CIFS, AFS, Ceph. */
const networkTypes = new Set([0x6969, 0x517b, 0xfe534d42, 0xff534d42, 0x5346414f, 0x00c36400])

/** A warning where the database lies on a network share, on which the write-ahead log does not work. */
export function networkWarning(file: string): Problem[] {
  if (!onNetwork(file)) return []
  return [
    {
      code: 'networkFolder',
      message:
        `‘${file}’ lies on a network share, where two computers that write at once can destroy it. ` +
        'Keep it on a disk of this computer.',
    },
  ]
}

function onNetwork(file: string): boolean {
  if (process.platform === 'win32') return file.startsWith('\\\\')
  if (process.platform !== 'linux') return false
  return networkTypes.has(statfsSync(dirname(file)).type >>> 0)
}
