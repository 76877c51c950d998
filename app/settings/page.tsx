import type { Metadata } from 'next'
import Link from 'next/link'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { mayDo, type Right, rightWhomToAsk } from '@/lib/people/role.ts'

export const metadata: Metadata = { title: 'Settings' }

const SETTINGS: { href: string; title: string; says: string; right: Right }[] = [
  {
    href: paths.people(),
    title: 'People',
    says: 'Who may sign in, and what they may do.',
    right: 'people.manage',
  },
  {
    href: paths.stores(),
    title: 'Stores and bins',
    says: 'Buildings, vans and containers; their bins, what each is for, the walk past them and the map.',
    right: 'stock.places',
  },
  {
    href: paths.words(),
    title: 'Words of our workshop',
    says: 'What else a thing is called here, so that search finds it.',
    right: 'search.words',
  },
  {
    href: paths.rules(),
    title: 'Rules of what a job also needs',
    says: 'Add rules of this workshop, change shipped ones or switch them off; try them on figures and past jobs.',
    right: 'rules.change',
  },
  {
    href: paths.countSettings(),
    title: 'Counting',
    says: 'How often bins are counted, and which differences are counted again or wait for approval.',
    right: 'stock.approve',
  },
  {
    href: paths.buyingSettings(),
    title: 'Ordering',
    says: 'Up to what amount whoever orders also approves, and how long a confirmation is waited for.',
    right: 'buying.approve',
  },
  {
    href: paths.costCentres(),
    title: 'Cost centres',
    says: 'Which machines belong to each; budgets are set on the winter plan.',
    right: 'budget.keep',
  },
  {
    href: paths.levelSettings(),
    title: 'How levels are set',
    says: 'Costs, service aimed at, how far a level moves in one step, and whether all are reckoned every night.',
    right: 'level.reckon',
  },
  {
    href: paths.batchSettings(),
    title: 'Batches and use-by dates',
    says: 'Of which classes of parts the batch number and the use-by date are asked for.',
    right: 'stock.places',
  },
  {
    href: paths.rates(),
    title: 'Rates of other currencies',
    says: 'What a unit of a supplier’s currency is worth, by day: prices are compared and summed by it.',
    right: 'buying.order',
  },
  {
    href: paths.check(),
    title: 'Check of the books',
    says: 'What the daily proof found: bins, values, jobs and the service book against the ledger.',
    right: 'stock.count',
  },
  {
    href: paths.exchange(),
    title: 'Import and export',
    says: 'Parts, parts lists, stock, suppliers and machines, from a file and into one.',
    right: 'catalogue.import',
  },
]

export default async function SettingsPage() {
  const who = await signedIn()
  return (
    <main className="page narrow" id="page">
      <header className="page-head">
        <h1>Settings</h1>
      </header>
      <ul className="plain-list stack">
        {SETTINGS.map(({ href, title, says, right }) => (
          <li className="sheet stack tight" key={href}>
            <h2>
              <Link href={href} prefetch={false}>
                {title}
              </Link>
            </h2>
            <p>{says}</p>
            {mayDo(who.roles, right) ? null : (
              <p className="soft small">Everybody may look; ask {rightWhomToAsk(right)} to change it.</p>
            )}
          </li>
        ))}
      </ul>
    </main>
  )
}
