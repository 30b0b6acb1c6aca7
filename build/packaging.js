import { readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { writeIcons } from './icon.js'
import { root } from './node-version.js'

/** Another Electron than the one that electron-builder would download: a folder with its files. */
const electronDist = process.env.ELECTRON_OVERRIDE_DIST_PATH

/** Whether there is a certificate to sign with; its name or file is what electron-builder itself reads. */
const signed = Boolean(process.env.CSC_LINK ?? process.env.CSC_NAME)

const icons = 'dist/icons'

/** How each system is told that a study's file belongs to the program. */
const studyFile = { ext: 'evenfilm', description: 'Evenfilm study', role: 'Editor', rank: 'Owner' }

/**
 * What goes into the program on a system. Of the library's binaries that of the system alone: electron-builder's own
 * word for one, `${platform}`, would be the system that packs.
 */
const filesOn = (system) => [
  'package.json',
  'dist/*.cjs',
  'dist/page/**',
  'dist/icon.png',
  '!node_modules/better-sqlite3/{deps,src,binding.gyp}',
  `!node_modules/better-sqlite3/prebuilds/!(${system}-\${arch}).node`,
  '!node_modules/node-addon-api',
  '!**/*.{md,map,d.ts}',
]

/**
 * What electron-builder packs, and how: the bundles in an archive, and beside it what a process other than
 * Electron's own must be able to read, the engine with its worker and the database library. Page libraries are in the bundles.
 */
export default {
  appId: 'app.evenfilm.desktop',
  productName: 'Evenfilm',
  copyright: 'MIT licence',
  directories: { output: 'release', buildResources: icons },
  ...(electronDist
    ? {
        electronDist,
        electronVersion: readFileSync(join(electronDist, 'version'), 'utf8').trim().replace(/^v/, ''),
      }
    : {}),
  // better-sqlite3 brings one binary for Node and Electron alike: nothing is compiled.
  npmRebuild: false,
  nodeGypRebuild: false,
  // Where a person can read them; those of Electron and Chromium lie beside them already.
  extraResources: [
    { from: 'LICENSE', to: 'LICENSE.txt' },
    { from: 'dist/LICENCES.txt', to: 'LICENCES.txt' },
  ],
  asar: true,
  asarUnpack: ['dist/{engine,worker}.cjs', 'node_modules/better-sqlite3/**'],
  electronFuses: {
    runAsNode: false,
    enableNodeOptionsEnvironmentVariable: false,
    enableNodeCliInspectArguments: false,
    enableEmbeddedAsarIntegrityValidation: true,
    onlyLoadAppFromAsar: true,
    // There are no cookies. Their key would be kept in the keychain, which macOS asks about, and by which a profile on a
    // stick is bound to one computer.
    enableCookieEncryption: false,
  },
  beforePack: ({ packager: { info, platform } }) => {
    writeIcons(join(root, icons))
    // A deb has to name an address of the program, which has none: this ending leads nowhere (RFC 2606).
    if (platform.name === 'linux') info.metadata.homepage ??= 'https://evenfilm.invalid/'
  },
  // A test Electron brings a launcher of its own, which would be loaded in place of the archive.
  afterPack: ({ appOutDir, packager }) =>
    rmSync(join(packager.getResourcesDir(appOutDir), 'app'), { recursive: true, force: true }),
  publish: null,
  win: {
    target: ['nsis', 'portable', 'zip'].map((target) => ({ target, arch: ['x64'] })),
    icon: `${icons}/icon.ico`,
    files: filesOn('win32'),
    fileAssociations: [{ ...studyFile, name: 'Evenfilm.Study' }],
  },
  // For the person who installs it, without a question and without an administrator's rights; data stay when it is removed.
  nsis: { oneClick: true, perMachine: false, packElevateHelper: false, deleteAppDataOnUninstall: false },
  // Each start unpacks into a folder of its own (in this version `true` does that): a second one must not wipe the first.
  // biome-ignore lint/suspicious/noTemplateCurlyInString: electron-builder fills it in
  portable: { unpackDirName: true, artifactName: '${productName} ${version} portable.${ext}' },
  mac: {
    target: [{ target: 'dmg', arch: ['x64', 'arm64'] }],
    icon: `${icons}/icon.icns`,
    files: filesOn('darwin'),
    category: 'public.app-category.productivity',
    darkModeSupport: true,
    fileAssociations: [{ ...studyFile, name: studyFile.description }],
    // Apple's processors run nothing without a signature: without a certificate it is one that names nobody.
    ...(signed ? {} : { identity: '-', hardenedRuntime: false }),
  },
  linux: {
    target: ['AppImage', 'deb', 'tar.gz'].map((target) => ({ target, arch: ['x64'] })),
    icon: icons,
    files: filesOn('linux'),
    category: 'Science',
    maintainer: 'Evenfilm',
    synopsis: 'Plan, run and judge spin-coat-and-bake experiments',
    syncDesktopName: true,
    fileAssociations: [{ ...studyFile, mimeType: 'application/x-evenfilm-study' }],
  },
}
