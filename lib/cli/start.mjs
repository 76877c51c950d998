// `npm start`: installs what is missing, prepares the database, loads the demo when it is empty, builds, serves.
import { spawn } from 'node:child_process'
import { build, checkNode, install, prepareClient, root, run, say, stop } from './prepare.mjs'

checkNode()
install()
prepareClient()
const status = run(process.execPath, ['--import', 'tsx', 'lib/cli/first-start.ts'])
if (status !== 0) stop('The database could not be prepared; see above. Nothing was served.')
build()
say('')
const server = spawn(process.execPath, ['lib/cli/cotterbook.mjs', 'serve'], { cwd: root, stdio: 'inherit' })
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => server.kill(signal))
server.on('exit', (code, signal) => process.exit(code ?? (signal ? 1 : 0)))
