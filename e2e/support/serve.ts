import { spawn, spawnSync } from 'node:child_process'
import { cpSync, existsSync, rmSync } from 'node:fs'

/** A fresh demo workshop for the browser tests, served by the same build that `npm start` serves. */
const port = process.argv[2] ?? '3177'
const data = process.env.DATA_DIR ?? `.cache/e2e-data-${port}`
rmSync(data, { recursive: true, force: true })
// Loaded once for all servers where `npm test` did so; then what follows finds it there.
const demo = process.env.E2E_DEMO
if (demo !== undefined && existsSync(demo)) cpSync(demo, data, { recursive: true })
const first = spawnSync(process.execPath, ['--import', 'tsx', 'lib/cli/first-start.ts'], { stdio: 'inherit' })
if (first.status !== 0) process.exit(1)
const server = spawn(process.execPath, ['node_modules/next/dist/bin/next', 'start', '-H', '127.0.0.1', '-p', port], {
  stdio: 'inherit',
})
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => server.kill(signal))
server.on('exit', (code) => process.exit(code ?? 0))
