// `npm test`: installs what is missing, a browser included, then types, lint, boundaries, schema, unit, integration and
// browser tests. Goes on after a failure, so that one run shows everything, and ends with one line of counts.
import { spawn, spawnSync } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { checkNode, install, prepareClient, root, run, say } from '../lib/cli/prepare.mjs'

const counts = { passed: 0, failed: 0, skipped: 0 }

function step(name, command, args, options) {
  say(`\n== ${name}`)
  const status = run(command, args, options)
  if (status !== 0) say(`== ${name}: failed`)
  return status === 0
}

/** A step beside others; what it prints comes whole when it is done. Answers whether it went well. */
async function beside(name, args, env = {}) {
  const child = spawn(process.execPath, args, { cwd: root, env: { ...process.env, ...env } })
  let said = ''
  for (const stream of [child.stdout, child.stderr])
    stream.setEncoding('utf8').on('data', (piece) => {
      said += piece
    })
  const [status] = await once(child, 'close')
  say(`\n== ${name}\n${said.trimEnd()}`)
  if (status !== 0) say(`== ${name}: failed`)
  return status === 0
}

async function check(name, args) {
  counts[(await beside(name, args)) ? 'passed' : 'failed'] += 1
}

function bin(name) {
  const manifest = JSON.parse(readFileSync(join(root, 'node_modules', name, 'package.json'), 'utf8'))
  const entry = typeof manifest.bin === 'string' ? manifest.bin : Object.values(manifest.bin)[0]
  return join('node_modules', name, entry)
}

function systemBrowser() {
  return [process.env.CHROMIUM, '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(
    (path) => path && existsSync(path),
  )
}

/** The system's Chromium: installed as root on Debian, else through Playwright. */
function browser() {
  if (systemBrowser()) return
  const isDebian = existsSync('/etc/debian_version') && process.getuid?.() === 0
  say('Installing a browser for the tests ...')
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' }
  if (isDebian) {
    spawnSync('apt-get', ['update', '-qq'], { stdio: 'inherit', env })
    spawnSync('apt-get', ['install', '-y', '-qq', 'chromium'], { stdio: 'inherit', env })
    if (systemBrowser()) return
  }
  run(process.execPath, [bin('@playwright/test'), 'install', 'chromium'])
}

function readCounts(file, read) {
  const path = join(root, file)
  const found = existsSync(path) ? read(JSON.parse(readFileSync(path, 'utf8'))) : null
  if (!found || found.passed + found.failed === 0) return false
  for (const name of ['passed', 'failed', 'skipped']) counts[name] += found[name]
  return true
}

checkNode()
install()
prepareClient()
browser()
mkdirSync(join(root, '.cache'), { recursive: true })
/** The browser tests at both widths go on at once, each with a server, a port and a demo of its own. */
const WIDTHS = [
  { project: 'desk', port: '3177', report: '.cache/browser-desk.json' },
  { project: 'phone', port: '3178', report: '.cache/browser-phone.json' },
]
for (const file of ['.cache/unit.json', '.cache/served.json', ...WIDTHS.map(({ report }) => report)])
  rmSync(join(root, file), { force: true })

/** The demo that the servers of the browser tests each begin with a copy of. */
const DEMO = '.cache/e2e-demo'
rmSync(join(root, DEMO), { recursive: true, force: true })

// What keeps one core busy goes on beside what keeps the other one busy.
async function checks() {
  await check('types', [bin('typescript'), '--noEmit'])
  await check('lint', [bin('@biomejs/biome'), 'check', '.'])
  await check('import boundaries', ['tests/house/boundaries.mjs'])
  await check('schema and migrations agree', ['--import', 'tsx', 'prisma/migrate.ts', 'check'])
}
async function screensAndDemo() {
  const built = await beside('screens', [
    '--input-type=module',
    '-e',
    "import('./lib/cli/prepare.mjs').then((prepare) => prepare.build())",
  ])
  const loaded = await beside('demo', ['--import', 'tsx', 'lib/cli/first-start.ts'], { DATA_DIR: DEMO })
  if (!built || !loaded) counts.failed += 1
}
await Promise.all([checks(), screensAndDemo()])

/** One run of vitest; one that died, or a file that could not be loaded, is a failure even where no single test says so. */
function vitest(name, file, more = {}) {
  const before = counts.failed
  const args = ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${file}`]
  const fine = step(name, process.execPath, [bin('vitest'), ...args], { env: { ...process.env, ...more } })
  const counted = readCounts(file, (report) => ({
    passed: report.numPassedTests,
    failed: report.numFailedTests,
    skipped: report.numPendingTests + (report.numTodoTests ?? 0),
  }))
  if (!counted || (!fine && counts.failed === before)) counts.failed += 1
}

vitest('unit and integration', '.cache/unit.json')
vitest('as it is served', '.cache/served.json', { SERVED: '1' })
say('\n== browser')
const browsing = WIDTHS.map(({ project, port, report }) => {
  const child = spawn(process.execPath, [bin('@playwright/test'), 'test', '--project', project], {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, E2E_PORT: port, E2E_REPORT: report, E2E_DEMO: DEMO },
  })
  return once(child, 'close')
})
for (const [at, [status]] of (await Promise.all(browsing)).entries()) {
  const { project, report } = WIDTHS[at]
  if (status !== 0) say(`== browser, ${project}: failed`)
  const before = counts.failed
  const counted = readCounts(report, ({ stats }) => ({
    passed: stats.expected,
    failed: stats.unexpected + stats.flaky,
    skipped: stats.skipped,
  }))
  if (!counted || (status !== 0 && counts.failed === before)) counts.failed += 1
}

say(`\n${counts.passed} passed, ${counts.failed} failed${counts.skipped > 0 ? `, ${counts.skipped} skipped` : ''}`)
process.exit(counts.failed === 0 ? 0 : 1)
