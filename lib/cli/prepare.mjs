// What `npm start` and `npm test` both need before anything else can run. Plain JavaScript without packages: on a fresh
// clone nothing is installed yet.
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

export const root = fileURLToPath(new URL('../..', import.meta.url))
const NODE_LEAST = [20, 19]

export function say(text) {
  process.stdout.write(`${text}\n`)
}

export function stop(text) {
  process.stderr.write(`${text}\n`)
  process.exit(1)
}

export function run(command, args, options = {}) {
  const done = spawnSync(command, args, { cwd: root, stdio: 'inherit', ...options })
  if (done.error) stop(`${command} could not be started: ${done.error.message}`)
  return done.status ?? 1
}

export function checkNode() {
  const [major, minor] = process.versions.node.split('.').map(Number)
  if (major < NODE_LEAST[0] || (major === NODE_LEAST[0] && minor < NODE_LEAST[1]))
    stop(
      `Cotterbook needs Node ${NODE_LEAST.join('.')} or newer; this is ${process.versions.node}. Install a newer Node and run it again.`,
    )
}

function digest(...files) {
  const hash = createHash('sha256')
  for (const file of files) hash.update(readFileSync(join(root, file)))
  return hash.digest('hex')
}

/** Runs `make` only when the kept digest says that its sources changed. */
function whenChanged(stamp, now, make) {
  const path = join(root, stamp)
  if (existsSync(path) && readFileSync(path, 'utf8') === now) return
  make()
  mkdirSync(join(path, '..'), { recursive: true })
  writeFileSync(path, now)
}

export function install() {
  whenChanged('node_modules/.cotterbook-lock', digest('package.json', 'package-lock.json'), () => {
    say('Installing packages ...')
    // No package of ours needs an install script; npm is reached through the one that started this, where there is one.
    const npm = process.env.npm_execpath
    const args = ['ci', '--ignore-scripts', '--no-audit', '--no-fund']
    const status = npm?.endsWith('.js')
      ? run(process.execPath, [npm, ...args])
      : run('npm', args, { shell: process.platform === 'win32' })
    if (status !== 0)
      stop('The packages could not be installed. Check the network and run it again; nothing else was changed.')
  })
}

export function prepareClient() {
  whenChanged('lib/db/generated/.schema-digest', digest('prisma/schema.prisma', 'package-lock.json'), () => {
    if (run(process.execPath, ['prisma/generate.mjs']) !== 0) stop('The database client could not be generated.')
  })
}

function sourceFiles(folder) {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name)
    if (entry.isDirectory()) return entry.name === 'generated' ? [] : sourceFiles(path)
    return /\.(tsx?|css|json|svg)$/.test(entry.name) && statSync(join(root, path)).isFile() ? [path] : []
  })
}

export function build() {
  const sources = [
    ...['app', 'lib'].flatMap(sourceFiles).sort(),
    'proxy.ts',
    'next.config.ts',
    'tsconfig.json',
    'package-lock.json',
    'prisma/schema.prisma',
  ]
  const now = digest(...sources)
  if (!existsSync(join(root, '.next/BUILD_ID'))) rmSync(join(root, '.next/.cotterbook-sources'), { force: true })
  whenChanged('.next/.cotterbook-sources', now, () => {
    say('Building the screens ...')
    const env = { ...process.env, NEXT_TELEMETRY_DISABLED: '1', NODE_ENV: 'production' }
    if (run(process.execPath, ['node_modules/next/dist/bin/next', 'build'], { env }) !== 0)
      stop('The screens could not be built.')
  })
}
