import { migrateDeploy } from '../../prisma/migrate.ts'
import { databaseClose } from '../db/client.ts'
import { demoFits } from '../db/demo.ts'
import { demoSignIn } from '../db/people.ts'
import { settingsMakeFolders, settingsRead } from '../settings.ts'
import { demoCommand } from './demo.ts'

/**
 * What `npm start` does between install and build: database up to date, demo into an empty one (COTTERBOOK_DEMO=no leaves
 * it empty), and who can sign in.
 */
async function firstStart(): Promise<number> {
  const settings = settingsRead()
  settingsMakeFolders(settings)
  const applied = await migrateDeploy(settings.databaseFile)
  if (applied.length > 0) console.info(`Database brought up to date: ${applied.join(', ')}`)
  if (process.env.COTTERBOOK_DEMO !== 'no' && (await demoFits())) {
    await databaseClose()
    console.info('Loading the demo estate ...')
    const status = await demoCommand()
    if (status !== 0) return status
  }
  const people = await demoSignIn()
  if (people) {
    console.info('Sign in as any of these (demo):')
    for (const { name, secret, roles } of people)
      console.info(`  ${name.padEnd(20)} PIN ${secret.padEnd(8)} ${roles.join(', ')}`)
  }
  await databaseClose()
  return 0
}

firstStart().then(
  (status) => {
    process.exitCode = status
  },
  (error: unknown) => {
    console.error(error instanceof Error ? error.message : error)
    process.exitCode = 1
  },
)
