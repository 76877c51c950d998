'use server'

import { redirect } from 'next/navigation'
import { action } from '@/app/_server/action.ts'
import { freshBytes } from '@/app/_server/chance.ts'
import { localPath } from '@/app/_server/local-path.ts'
import { browserAddress, sessionCookieSet, signedOut } from '@/app/_server/signed-in.ts'
import { signIn } from '@/lib/db/session.ts'
import { SignInInput } from '@/lib/people/schema.ts'

export const enter = action({
  right: 'open',
  kind: 'sign-in',
  schema: SignInInput,
  run: async ({ now }, { name, secret }) => {
    const token = await signIn({ name, secret, address: await browserAddress() }, now, freshBytes)
    await sessionCookieSet(token)
  },
  then: (_, { next }) => ({ redirect: localPath(next) }),
})

/** For a plain form with one button. Signing out twice is signing out. */
export async function leave(): Promise<void> {
  await signedOut()
  redirect('/sign-in')
}
