// Generates the database client. Prisma's own engine binary is not needed for this, only that some file stands in its place.
import { spawnSync } from 'node:child_process'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('..', import.meta.url))
const prisma = join(dirname(createRequire(import.meta.url).resolve('prisma/package.json')), 'build/index.js')
const done = spawnSync(process.execPath, [prisma, 'generate'], {
  cwd: root,
  encoding: 'utf8',
  env: {
    PRISMA_SCHEMA_ENGINE_BINARY: process.execPath,
    CHECKPOINT_DISABLE: '1',
    PRISMA_HIDE_UPDATE_MESSAGE: '1',
    ...process.env,
  },
})
if (done.status !== 0) {
  process.stderr.write(`${done.stdout}${done.stderr}`)
  process.exit(1)
}
