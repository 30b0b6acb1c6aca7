import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { FuseState, FuseV1Options, getCurrentFuseWire } from '@electron/fuses'
import { Arch, build, Platform } from 'electron-builder'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
// @ts-expect-error: build/ is plain JavaScript
import packaging from '../../build/packaging.js'
import { root } from '../e2e/helpers/doors.ts'

/** Windows' programs, as the packager itself reads and writes them. */
const { Data, NtExecutable, NtExecutableResource, Resource } = createRequire(
  createRequire(import.meta.url).resolve('app-builder-lib'),
)('resedit')

const version = '45.0.0'
/** What marks the fuses in Electron, their version, how many there are, and each: off or on. */
const fuses = Buffer.concat([
  Buffer.from('dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX'),
  Buffer.from([1, 8]),
  Buffer.from('10110010'),
])

function put(file: string, content: string | Buffer = '') {
  mkdirSync(dirname(file), { recursive: true })
  writeFileSync(file, content)
}

/** The least that the packager takes for Electron on Windows: a program with words on its version, and its fuses. */
function electronOfWindows(folder: string) {
  const program = NtExecutable.createEmpty(false, false)
  const resource = NtExecutableResource.from(program)
  const words = Resource.VersionInfo.createEmpty()
  words.setStringValues({ lang: 1033, codepage: 1200 }, { ProductName: 'Electron' })
  words.outputToResourceEntries(resource.entries)
  resource.outputResource(program)
  put(join(folder, 'electron.exe'), Buffer.concat([Buffer.from(program.generate()), fuses]))
  put(join(folder, 'LICENSE'), 'licence of Electron')
  put(join(folder, 'locales/en-US.pak'))
  mkdirSync(join(folder, 'resources'))
}

/** The same on macOS: the bundle with its helpers. */
function electronOfMac(folder: string) {
  const plist = (name: string) =>
    `<?xml version="1.0"?><plist version="1.0"><dict><key>CFBundleExecutable</key><string>${name}</string></dict></plist>`
  const bundle = (place: string, name: string) => {
    put(join(place, 'Contents/Info.plist'), plist(name))
    put(join(place, 'Contents/MacOS', name))
  }
  const whole = join(folder, 'Electron.app')
  const frameworks = join(whole, 'Contents/Frameworks')
  bundle(whole, 'Electron')
  put(join(whole, 'Contents/Resources/en.lproj/.keep'))
  put(join(frameworks, 'Electron Framework.framework/Electron Framework'), fuses)
  put(join(frameworks, 'Electron Framework.framework/Versions/A/Resources/en.lproj/.keep'))
  for (const kind of ['', ' (GPU)', ' (Plugin)', ' (Renderer)'])
    bundle(join(frameworks, `Electron Helper${kind}.app`), `Electron Helper${kind}`)
}

/** Everything goes as it would there, but for Electron, which is a stand-in, and for the installers' own tools. */
describe('packed here for another system', () => {
  let folder: string
  const pack = (platform: Platform, arch: Arch, electronDist: string) =>
    build({
      projectDir: root,
      targets: platform.createTarget(['dir'], arch),
      config: {
        ...packaging,
        electronDist,
        electronVersion: version,
        directories: { ...packaging.directories, output: folder },
      },
      publish: 'never',
    })
  /** The one binary of the database library, and what else lies beside the archive. */
  const besideArchive = (resources: string) => ({
    names: readdirSync(resources).filter((name) => !/\.lproj$/.test(name)),
    binaries: readdirSync(join(resources, 'app.asar.unpacked/node_modules/better-sqlite3/prebuilds')),
  })

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-elsewhere-'))
  })
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  test('Windows: its program has our icon and name, the mark of its archive, and its fuses set', async () => {
    const electron = join(folder, 'electron-windows')
    electronOfWindows(electron)
    await pack(Platform.WINDOWS, Arch.x64, electron)
    const unpacked = join(folder, 'win-unpacked')
    const file = join(unpacked, 'Evenfilm.exe')
    const { entries } = NtExecutableResource.from(NtExecutable.from(readFileSync(file)))
    const icon = Data.IconFile.from(readFileSync(join(root, 'dist/icons/icon.ico')))
    const shown = Resource.IconGroupEntry.fromEntries(entries)[0].icons
    expect(shown.map(({ width }: { width: number }) => width || 256)).toEqual(
      icon.icons.map(({ width }: { width: number }) => width || 256),
    )
    const [words] = Resource.VersionInfo.fromEntries(entries)
    expect(words.getStringValues({ lang: 1033, codepage: 1200 })).toMatchObject({
      ProductName: 'Evenfilm',
      CompanyName: 'The Evenfilm authors',
    })
    const mark = entries.find(({ type }: { type: unknown }) => type === 'INTEGRITY')
    expect(JSON.parse(Buffer.from(mark.bin).toString())).toMatchObject([
      { file: 'resources\\app.asar', alg: 'SHA256' },
    ])
    expect(await getCurrentFuseWire(file)).toMatchObject({
      [FuseV1Options.RunAsNode]: FuseState.DISABLE,
      [FuseV1Options.EnableCookieEncryption]: FuseState.DISABLE,
      [FuseV1Options.OnlyLoadAppFromAsar]: FuseState.ENABLE,
    })
    expect(besideArchive(join(unpacked, 'resources'))).toEqual({
      names: ['LICENCES.txt', 'LICENSE.txt', 'app.asar', 'app.asar.unpacked'],
      binaries: ['win32-x64.node'],
    })
  })

  test('macOS: its bundle has our icon, opens a study’s file, and has its fuses set', async () => {
    const electron = join(folder, 'electron-mac')
    electronOfMac(electron)
    await pack(Platform.MAC, Arch.arm64, electron)
    const contents = join(folder, 'mac-arm64/Evenfilm.app/Contents')
    const plist = readFileSync(join(contents, 'Info.plist'), 'utf8').replaceAll(/>\s+</g, '><')
    expect(plist).toContain('<key>CFBundleTypeExtensions</key><array><string>evenfilm</string></array>')
    expect(plist).toContain('<key>CFBundleTypeName</key><string>Evenfilm study</string>')
    expect(plist).toContain('<key>LSHandlerRank</key><string>Owner</string>')
    expect(plist).toContain('<key>CFBundleIconFile</key><string>icon.icns</string>')
    expect(plist).toContain('<key>Resources/app.asar</key><dict><key>algorithm</key><string>SHA256</string>')
    expect(await getCurrentFuseWire(join(folder, 'mac-arm64/Evenfilm.app'))).toMatchObject({
      [FuseV1Options.EnableNodeCliInspectArguments]: FuseState.DISABLE,
      [FuseV1Options.EnableEmbeddedAsarIntegrityValidation]: FuseState.ENABLE,
    })
    expect(besideArchive(join(contents, 'Resources'))).toEqual({
      names: ['LICENCES.txt', 'LICENSE.txt', 'app.asar', 'app.asar.unpacked', 'icon.icns'],
      binaries: ['darwin-arm64.node'],
    })
  })
})
