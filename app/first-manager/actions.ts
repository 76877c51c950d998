'use server'

import { action } from '@/app/_server/action.ts'
import { freshBytes } from '@/app/_server/chance.ts'
import { browserAddress, sessionCookieSet } from '@/app/_server/signed-in.ts'
import { firstManagerCreate } from '@/lib/db/people.ts'
import { signIn } from '@/lib/db/session.ts'
import { FirstManagerInput } from '@/lib/people/schema.ts'

/** Signs in by name and PIN like anybody: the answer of a form that is sent twice must not open the door by itself. */
export const setUp = action({
  right: 'open',
  kind: 'first-manager',
  schema: FirstManagerInput,
  run: async ({ key, now }, input) => {
    await firstManagerCreate({ key, now }, input, freshBytes)
    const { name, secret } = input
    await sessionCookieSet(await signIn({ name, secret, address: await browserAddress() }, now, freshBytes))
  },
  then: () => ({ redirect: '/' }),
})
