import type { Page } from '@playwright/test'
import { expect, expectGoodScreen, type Name, signIn, test } from './support/workshop.ts'

const PEOPLE = {
  mechanic: 'Jory Penhale',
  storekeeper: 'Nell Arkwood',
  buyer: 'Odile Brandreth',
  manager: 'Marit Quillbeck',
} as const satisfies Record<string, Name>
type Role = keyof typeof PEOPLE

/** Addresses that only open for some, and what the others are told. Who does what in a workshop: common practice, no source. */
const DOORS: readonly { address: string; for: readonly Role[]; deed: string; ask: string }[] = [
  {
    address: '/jobs/new',
    for: ['mechanic', 'storekeeper', 'manager'],
    deed: 'open a job',
    ask: 'a mechanic or a storekeeper',
  },
  {
    address: '/services/open?machine=5',
    for: ['mechanic', 'storekeeper', 'manager'],
    deed: 'open a job',
    ask: 'a mechanic or a storekeeper',
  },
  ...['/models/1/figures/1/strip', '/models/1/figures/1/tests', '/parts/new', '/parts/1/edit', '/parts/1/instead'].map(
    (address) => ({
      address,
      for: ['storekeeper', 'manager'] as const,
      deed: 'change parts',
      ask: 'a storekeeper',
    }),
  ),
]

/** What is there for those who may, and the sentence for those who may not. */
const DEEDS: readonly { address: string; for: readonly Role[]; control: RegExp; told: RegExp }[] = [
  {
    address: '/shelf/receive',
    for: ['storekeeper', 'manager'],
    control: /^Find$/,
    told: /Ask a storekeeper to put parts on the shelf/,
  },
  {
    address: '/shelf/count?bin=1',
    for: ['storekeeper', 'manager'],
    control: /^Save the counts$/,
    told: /Ask a storekeeper to count a bin/,
  },
  {
    address: '/buying',
    for: ['buyer', 'manager'],
    control: /^Mark as ordered/,
    told: /Ask a buyer to order from suppliers/,
  },
  { address: '/people', for: ['manager'], control: /^Add$/, told: /A manager changes this list/ },
  {
    address: '/settings/rules/brake-friction-pair/change',
    for: ['storekeeper', 'manager'],
    control: /^(Save|Keep)/,
    told: /Ask a storekeeper to change the rules/,
  },
]

/** What a person may do on an open job, by screen. */
const JOB: readonly { step: string; for: readonly Role[]; control: RegExp }[] = [
  { step: '', for: ['mechanic', 'manager'], control: /^Leave the note$/ },
  { step: '/strip', for: ['mechanic', 'manager'], control: /^Done: / },
  { step: '/needed', for: ['mechanic', 'manager'], control: /^Find$/ },
  { step: '/take', for: ['mechanic', 'storekeeper', 'manager'], control: /^Take from shelf/ },
  { step: '/close', for: ['mechanic', 'manager'], control: /^Close into the service book$/ },
]

/** The trailer's brake job of the demo: opened, accepted, nothing taken yet. */
async function brakeJob(page: Page): Promise<string> {
  await page.goto('/jobs')
  const link = page.getByRole('row').filter({ hasText: 'left drum stays cold' }).getByRole('link').first()
  return (await link.getAttribute('href'))!
}

for (const role of ['mechanic', 'storekeeper', 'buyer', 'manager'] as const)
  test(`a ${role} sees what a ${role} may do, and is told whom to ask for the rest`, async ({ page }) => {
    test.setTimeout(150_000)
    await signIn(page, PEOPLE[role])
    const main = page.getByRole('main')
    for (const door of DOORS) {
      const answer = await page.goto(door.address)
      expect(answer?.status(), door.address).toBe(200)
      if (door.for.includes(role)) {
        await expect(page, door.address).not.toHaveURL(/not-allowed/)
        continue
      }
      await expect(page, door.address).toHaveURL(/not-allowed/)
      await expect(main).toContainText(`Your roles do not let you ${door.deed}`)
      await expect(main).toContainText(`Ask ${door.ask} to do it, or a manager to give you the role.`)
      await expect(page.getByRole('link', { name: 'Back to Today' })).toBeVisible()
    }
    if (role !== 'manager') await expectGoodScreen(page)
    for (const deed of DEEDS) {
      await page.goto(deed.address)
      const control = main.getByRole('button', { name: deed.control }).first()
      if (deed.for.includes(role)) await expect(control, deed.address).toBeVisible()
      else {
        await expect(main, deed.address).toContainText(deed.told)
        await expect(control, deed.address).toHaveCount(0)
      }
    }
    const job = await brakeJob(page)
    const told = main.getByText('Ask a mechanic to plan and carry out a job.')
    for (const { step, for: who, control } of JOB) {
      await page.goto(`${job}${step}`)
      await expect(page.getByRole('heading', { level: 1 })).toContainText(/^Job \d/)
      const button = main.getByRole('button', { name: control }).first()
      if (who.includes(role)) await expect(button, step).toBeVisible()
      else await expect(button, step).toHaveCount(0)
      await expect(told).toHaveCount(role === 'mechanic' || role === 'manager' ? 0 : 1)
    }
    await page.goto(job)
    await expectGoodScreen(page)
  })

/** On a tablet that lies open on the bench somebody else signs in, and the form that was left open is sent. */
async function handedTo(page: Page, who: Name): Promise<void> {
  const other = await page.context().newPage()
  await other.goto('/')
  await other.getByRole('button', { name: 'Sign out' }).click()
  await expect(other).toHaveURL(/sign-in/)
  await signIn(other, who)
  await other.close()
}

async function expectRefused(page: Page, deed: string, ask: string): Promise<void> {
  const alert = page.getByRole('main').getByRole('alert').first()
  await expect(alert).toContainText(`Your roles do not allow this: ${deed}`)
  await expect(alert).toContainText(`Ask ${ask} to do it, or a manager to give you the role.`)
  await expect(alert).not.toContainText(/went wrong in the program/)
}

test('a note and the words of a job that a storekeeper sends are refused, stay in the field, and are not on the job', async ({
  page,
}) => {
  await signIn(page, 'Jory Penhale')
  const job = await brakeJob(page)
  await page.goto(job)
  const note = page.getByLabel('Note for whoever goes on')
  await note.fill('left on the bench by somebody else')
  await handedTo(page, 'Nell Arkwood')
  await page.getByRole('button', { name: 'Leave the note' }).click()
  await expectRefused(page, 'plan and carry out a job', 'a mechanic')
  await expect(note).toHaveValue('left on the bench by somebody else')
  await expectGoodScreen(page)
  await page.reload()
  await expect(page.getByRole('main')).not.toContainText('left on the bench by somebody else')

  await handedTo(page, 'Jory Penhale')
  await page.goto(`${job}/close`)
  await page.getByLabel('Cause').fill('words of somebody without the right')
  await handedTo(page, 'Odile Brandreth')
  await page.getByRole('button', { name: 'Keep, close later' }).click()
  await expectRefused(page, 'release a machine and close its job', 'a mechanic')
  await handedTo(page, 'Jory Penhale')
  await page.reload()
  await expect(page.getByLabel('Cause')).not.toHaveValue('words of somebody without the right')
})

test('what a buyer takes from the shelf and a mechanic receives is refused, and the ledger has no line of it', async ({
  page,
}) => {
  await signIn(page, 'Nell Arkwood')
  const newest = async () => {
    await page.goto('/shelf/movements')
    return page.getByRole('row').nth(1).getAttribute('id')
  }
  const before = await newest()
  const job = await brakeJob(page)
  await page.goto(`${job}/take`)
  await handedTo(page, 'Odile Brandreth')
  await page.getByRole('button', { name: /^Take from shelf/ }).click()
  await expectRefused(page, 'take parts from the shelf and put them back', 'a mechanic or a storekeeper')
  expect(await newest()).toBe(before)

  await handedTo(page, 'Nell Arkwood')
  await page.goto('/shelf?q=wiping')
  await page.getByRole('table').getByRole('link').first().click()
  await expect(page).toHaveURL(/\/parts\/\d+/)
  await page.getByRole('link', { name: 'Receive' }).click()
  const form = page.getByRole('form', { name: /^Receive/ })
  await form.getByLabel(/How many came/).fill('7')
  await handedTo(page, 'Jory Penhale')
  await form.getByRole('button', { name: 'Put on shelf' }).click()
  await expectRefused(page, 'put parts on the shelf', 'a storekeeper')
  await expect(form.getByLabel(/How many came/)).toHaveValue('7')
  expect(await newest()).toBe(before)
})

test('an order that a mechanic marks and a person that a storekeeper adds are refused, and neither is there', async ({
  page,
}) => {
  await signIn(page, 'Marit Quillbeck')
  await page.goto('/buying/orders')
  const orders = await page.getByRole('main').getByRole('row').count()
  await page.goto('/buying')
  await handedTo(page, 'Jory Penhale')
  await page
    .getByRole('button', { name: /Mark as ordered/ })
    .first()
    .click()
  await expectRefused(page, 'order from suppliers', 'a buyer')
  await page.goto('/buying/orders')
  await expect(page.getByRole('main').getByRole('row')).toHaveCount(orders)

  await handedTo(page, 'Marit Quillbeck')
  await page.goto('/people')
  const add = page.getByRole('region', { name: 'Add a person' })
  await add.getByLabel('Name').fill('Merryn Pascoe')
  await add.getByLabel(/PIN/).first().fill('8264')
  await add.getByRole('checkbox', { name: /mechanic/ }).check()
  await handedTo(page, 'Nell Arkwood')
  await add.getByRole('button', { name: 'Add' }).click()
  await expectRefused(page, 'say who may sign in and do what', 'a manager')
  await page.goto('/people')
  await expect(page.getByRole('main')).not.toContainText('Merryn Pascoe')
})

test('whoever is signed out meanwhile is asked to sign in, and what was typed waits', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.goto(await brakeJob(page))
  const note = page.getByLabel('Note for whoever goes on')
  await note.fill('drum is on the bench')
  const other = await page.context().newPage()
  await other.goto('/')
  await other.getByRole('button', { name: 'Sign out' }).click()
  await expect(other).toHaveURL(/sign-in/)
  await page.getByRole('button', { name: 'Leave the note' }).click()
  const alert = page.getByRole('main').getByRole('alert').first()
  await expect(alert).toContainText('You are not signed in')
  await expect(note).toHaveValue('drum is on the bench')
  await signIn(other, 'Jory Penhale')
  await page.getByRole('button', { name: 'Leave the note' }).click()
  await expect(page.getByRole('listitem').filter({ hasText: 'drum is on the bench' }).first()).toBeVisible()
})
