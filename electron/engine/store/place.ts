import { statfsSync } from 'node:fs'
import { homedir } from 'node:os'
import { basename, dirname } from 'node:path'
import type { Problem } from '../../../shared/problem.ts'
import { namesIn } from './unfinished.ts'

/** Types of network file systems as Linux numbers them (statfs(2)): NFS, SMB, SMB2, CIFS, AFS, Ceph, 9P. */
const networkTypes = new Set([0x6969, 0x517b, 0xfe534d42, 0xff534d42, 0x5346414f, 0x00c36400, 0x01021997])

/** What is known of where a database lies. */
export type Place = {
  platform: NodeJS.Platform
  file: string
  /** Type of the file system as the system numbers it; null where it cannot be asked. */
  type: number | null
  /** The folders from that of the file up to the person's own, without that, each with its names. */
  folders: { folder: string; names: readonly string[] }[]
}

/** Warnings about the place of a database: a network share, or a folder that is copied to other computers. */
export function placeWarnings(file: string): Problem[] {
  const folder = dirname(file)
  return warningsOf({
    platform: process.platform,
    file,
    type: process.platform === 'linux' ? statfsSync(folder).type >>> 0 : null,
    folders: foldersBelow(folder, homedir()).map((each) => ({ folder: each, names: namesIn(each) })),
  })
}

export function warningsOf(place: Place): Problem[] {
  if (isShare(place))
    return [
      {
        code: 'networkFolder',
        message:
          `‘${place.file}’ lies on a network share, where two computers that write at once can destroy it. ` +
          'Keep it on a disk of this computer.',
      },
    ]
  if (isOtherVolume(place))
    return [
      {
        code: 'otherVolume',
        message:
          `‘${place.file}’ lies on another volume. Close the program before you take a stick out. A network share will ` +
          'not do, as two computers that write at once can destroy it: keep it on a disk of this computer.',
      },
    ]
  const sign = signOfSync(place)
  return sign === null
    ? []
    : [
        {
          code: 'syncedFolder',
          message:
            `‘${place.file}’ seems to lie in a folder that is copied to other computers (${sign}). A copy that is made ` +
            'while it is written is torn: keep it elsewhere, and pass studies on as files.',
        },
      ]
}

/** `\\server\share`, also in its long form, and what Linux knows by the type of the file system. */
function isShare({ platform, file, type }: Place): boolean {
  if (platform === 'win32') return /^(\\\\|\/\/)(?![.?][\\/])/.test(file) || /^\\\\[?.]\\UNC\\/i.test(file)
  if (platform === 'darwin') return /^\/(net|Network)\//.test(file)
  return type !== null && networkTypes.has(type)
}

/** What is mounted on macOS, shares and sticks alike, stands under /Volumes. */
const isOtherVolume = ({ platform, file }: Place) => platform === 'darwin' && file.startsWith('/Volumes/')

/** What gives a synced folder away, as part of a sentence; no program is known by its name here. */
function signOfSync({ platform, file, folders }: Place): string | null {
  // Where macOS itself puts every folder of the kind.
  if (platform === 'darwin' && /\/Library\/(CloudStorage|Mobile Documents)\//.test(file))
    return 'it is among those that the system keeps for this'
  const [own] = folders
  const stem = basename(file).replace(/\.[^.]*$/, '')
  const twin = own?.names.find((name) => name.startsWith(stem) && /conflict/i.test(name))
  if (twin !== undefined) return `‘${twin}’ beside it is what is left where two computers wrote at once`
  for (const { folder, names } of folders) {
    const mark = names.find((name) => /^\..*sync/i.test(name))
    if (mark !== undefined) return `‘${mark}’ in ‘${folder}’ is the mark of one`
  }
  return null
}

/** A folder and those that hold it, up to one that is left out; only itself where it does not lie below that. */
function foldersBelow(folder: string, top: string): string[] {
  const found = [folder]
  for (let each = dirname(folder); each !== top; each = dirname(each)) {
    if (each === dirname(each)) return [folder]
    found.push(each)
  }
  return folder === top ? [] : found
}
