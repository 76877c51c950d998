import type { Browser, Page } from '@playwright/test'
import { expect, expectGoodScreen, type Name, signIn, test } from './support/workshop.ts'

/** A job on the river pump, with two sorts of fasteners of which the shelf has plenty: whoever comes next finds enough. */
async function pumpJob(page: Page): Promise<string> {
  await page.goto('/models')
  await page.getByRole('link', { name: 'Quernford P80' }).click()
  await page.getByRole('link', { name: /1-03/ }).click()
  await page
    .getByRole('row')
    .filter({ hasText: /Impeller/ })
    .first()
    .getByRole('button', { name: /show on the drawing/ })
    .click()
  await page.getByRole('link', { name: 'Log a repair with this part' }).first().click()
  await page.getByLabel('Machine', { exact: true }).selectOption({ label: 'P-01 Irrigation pump, river' })
  await page.getByLabel('Complaint').fill('Pressure falls, two of us at it')
  await page.getByRole('button', { name: 'Open the job' }).click()
  await page.waitForURL(/\/jobs\/\d+\/needed$/)
  const job = page.url().replace('/needed', '')
  for (const [number, count] of [
    ['HB-8-20', '2'],
    ['HN-12', '3'],
  ] as const) {
    await page.goto(`${job}/needed?q=${number}`)
    const form = page.getByRole('form', { name: `Add ${number}`, exact: true })
    await form.getByLabel('How many').fill(count)
    await form.getByRole('button', { name: 'Add to the job' }).click()
    await expect(page.getByRole('region', { name: 'To renew' })).toContainText(number)
  }
  return job
}

async function beside(browser: Browser, who: Name): Promise<Page> {
  const page = await (await browser.newContext()).newPage()
  await signIn(page, who)
  return page
}

test('two mechanics at one job: neither loses words, ticks or parts to the other', async ({ page, browser }) => {
  test.setTimeout(240_000)
  await signIn(page, 'Jory Penhale')
  const job = await pumpJob(page)
  const other = await beside(browser, 'Wilf Tamsett')

  // Both write up the job, from the same empty form.
  for (const each of [page, other]) await each.goto(`${job}/close`)
  await page.getByLabel('Cause').fill('Impeller worn at the eye')
  await page.getByLabel('Correction').fill('Impeller renewed')
  await page.getByRole('button', { name: 'Keep, close later' }).click()
  await expect(page.getByRole('main').getByRole('status')).toContainText('stays open')
  await other.getByLabel('Cause', { exact: true }).fill('Sand in the suction line')
  await other.getByLabel('Correction', { exact: true }).fill('Strainer cleaned')
  await other.getByRole('button', { name: 'Keep, close later' }).click()
  const alert = other.getByRole('main').getByRole('alert')
  await expect(alert).toContainText('Jory Penhale changed the words of this job since you opened it.')
  await expect(other.getByText('Jory Penhale wrote: Impeller worn at the eye')).toBeVisible()
  await expect(other.getByText('Jory Penhale wrote: Impeller renewed')).toBeVisible()
  const [cause, correction] = [
    other.getByLabel('Cause', { exact: true }),
    other.getByLabel('Correction', { exact: true }),
  ]
  await expect(cause).toHaveValue('Sand in the suction line')
  await expect(correction).toHaveValue('Strainer cleaned')
  await expectGoodScreen(other)
  await other.getByRole('button', { name: 'Theirs: Cause' }).click()
  await expect(cause).toHaveValue('Impeller worn at the eye')
  await expect(cause).toBeFocused()
  await other.getByRole('button', { name: 'Mine: Cause' }).click()
  await expect(cause).toHaveValue('Sand in the suction line')
  await other.getByRole('button', { name: 'Both together: Cause' }).click()
  await expect(cause).toHaveValue('Impeller worn at the eye\nSand in the suction line')
  await other.getByRole('button', { name: 'Theirs: Correction' }).click()
  await other.getByRole('button', { name: 'Keep, close later' }).click()
  await expect(other.getByRole('main').getByRole('status')).toContainText('stays open')
  await page.reload()
  await expect(page.getByLabel('Cause')).toHaveValue('Impeller worn at the eye\nSand in the suction line')
  await expect(page.getByLabel('Correction')).toHaveValue('Impeller renewed')

  // Both tick off what they have done, from the same list.
  for (const each of [page, other]) await each.goto(`${job}/strip`)
  const steps = (of: Page) => of.getByRole('button', { name: /^Done: Take off/ })
  const all = await steps(page).count()
  expect(all).toBeGreaterThan(2)
  const [first, second] = [
    (await steps(page).nth(0).getAttribute('aria-label'))!,
    (await steps(page).nth(1).getAttribute('aria-label'))!,
  ]
  await page.getByRole('button', { name: first, exact: true }).click()
  await expect(steps(page)).toHaveCount(all - 1)
  await other.getByRole('button', { name: second, exact: true }).click()
  await expect(steps(other)).toHaveCount(all - 2)
  await page.reload()
  await expect(steps(page)).toHaveCount(all - 2)
  for (const [step, who] of [
    [first, 'Jory Penhale'],
    [second, 'Wilf Tamsett'],
  ] as const)
    await expect(
      page.getByRole('listitem').filter({ has: page.getByRole('button', { name: step.replace('Done', '✓ Undo') }) }),
    ).toContainText(who)

  // Both have the pick list in hand: each takes a line; the line that is gone from the list is not taken twice.
  for (const each of [page, other]) await each.goto(`${job}/take`)
  const line = (of: Page, part: string) => of.getByRole('button', { name: new RegExp(`^Take this line ?: ${part}`) })
  const bolts = 'Bolt, M8 x 20'
  const nuts = 'Nut, M12'
  await line(page, bolts).click()
  await expect(line(page, bolts)).toHaveCount(0)
  await line(other, nuts).click()
  await expect(line(other, nuts)).toHaveCount(0)
  await line(page, nuts).click()
  await expect(page.getByRole('main').getByRole('alert')).toContainText(
    /Wilf Tamsett took or put back Nut, M12 HN-12 for this job since you opened the list/,
  )
  await expectGoodScreen(page)
  await page.getByRole('link', { name: 'Show the list as it is now' }).click()
  const taken = page.getByRole('region', { name: 'Taken' })
  await expect(taken).toContainText('2 x Bolt, M8 x 20')
  await expect(taken).toContainText('3 x Nut, M12')
  await expect(line(page, nuts)).toHaveCount(0)
  await page.goto('/shelf/movements')
  const number = job.split('/').at(-1)!
  const moves = page.getByRole('row').filter({ has: page.locator(`a[href="/jobs/${number}"]`) })
  await expect(moves).toHaveCount(2)
  await expect(moves.filter({ hasText: 'HN-12' })).toContainText('Wilf Tamsett')
  await expect(moves.filter({ hasText: 'HB-8-20' })).toContainText('Jory Penhale')

  // Put back and taken off the job, so that the shelf is as it was.
  await page.goto(`${job}/take`)
  for (const part of [bolts, nuts]) {
    const back = taken.locator('details').filter({ hasText: part }).first()
    await back.locator('summary').click()
    await back.getByRole('button', { name: 'Put back' }).click()
    await expect(back).toHaveCount(0)
  }
  await page.goto(job)
  await page.getByRole('button', { name: /^Remove Impeller/ }).click()
  await expect(page.getByText('Nothing chosen yet.')).toBeVisible()
  await other.context().close()
})

test('what the shelf keeps for one job is given to another that needs it more, and both jobs can read who and why', async ({
  page,
}) => {
  await signIn(page, 'Jory Penhale')
  const open = async (machine: string, complaint: string, count: string): Promise<string> => {
    await page.goto('/jobs/new')
    await page.getByLabel('Machine', { exact: true }).selectOption({ label: machine })
    await page.getByLabel('Complaint').fill(complaint)
    await page.getByRole('button', { name: 'Open the job' }).click()
    await page.waitForURL(/\/jobs\/\d+(\/needed)?$/)
    const job = page.url().replace('/needed', '')
    await page.goto(`${job}/needed?q=HB-8-30`)
    const form = page.getByRole('form', { name: 'Add HB-8-30', exact: true })
    await form.getByLabel('How many').fill(count)
    await form.getByRole('button', { name: 'Add to the job' }).click()
    await expect(page.getByRole('region', { name: 'To renew' })).toContainText('HB-8-30')
    return job
  }
  const number = async (job: string): Promise<string> => {
    await page.goto(job)
    return /[Jj]ob (\d+)/.exec((await page.getByRole('main').textContent())!)![1]!
  }
  // A bolt that is on no parts list and that no other job wants. The first job asks for more than anybody has: the shelf is kept for it, the second finds nothing free.
  const first = await open('P-01 Irrigation pump, river', 'Guard to be bolted down anew', '900')
  const second = await open('P-01 Irrigation pump, river', 'Guard is off, the pump stands', '2')
  const [one, other] = [await number(first), await number(second)]
  await page.goto(`${second}/take`)
  const short = page.getByRole('region', { name: 'Not on the shelf, or kept for other jobs' })
  await expect(short).toContainText('2 x Bolt, M8 x 30')
  await expect(short).toContainText(`on the shelf for job ${one}`)
  await expect(page.getByRole('button', { name: /^Take this line ?: Bolt/ })).toHaveCount(0)
  await short.getByText(/^Give 2 of it to this job/).click()
  await expectGoodScreen(page)
  const give = page.getByRole('form', { name: `Give what is kept for job ${one} to this job` })
  await give.getByRole('button', { name: 'Give to this job' }).click()
  await expect(give).toContainText(/say why/i)
  await give.getByLabel('Why').fill('the river pump stands')
  await give.getByRole('button', { name: 'Give to this job' }).click()
  await expect(page.getByRole('button', { name: /^Take this line ?: Bolt/ })).toBeVisible()
  await expect(short).toHaveCount(0)
  await page.goto(second)
  await expect(page.getByRole('region', { name: 'Hand-over', exact: true })).toContainText(
    new RegExp(`2 x HB-8-30 .* came from job ${one}, .*: the river pump stands.*Jory Penhale`),
  )
  await page.goto(first)
  await expect(page.getByRole('region', { name: 'Hand-over', exact: true })).toContainText(
    new RegExp(`2 x HB-8-30 .* kept for this job, went to job ${other}: the river pump stands.*Jory Penhale`),
  )
})
