import type { Metadata } from 'next'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { RIGHTS, rightIs, rightWhomToAsk } from '@/lib/people/role.ts'

export const metadata: Metadata = { title: 'Not with your roles' }

export default async function NotAllowedPage({
  searchParams,
}: {
  searchParams: Promise<{ right?: string | string[] }>
}) {
  const { roles } = await signedIn()
  const { right } = await searchParams
  const wanted = typeof right === 'string' && rightIs(right) ? right : null
  return (
    <main className="page narrow stack" id="page">
      <h1>Not with your roles</h1>
      <div className="alert stack tight">
        <p>
          {wanted ? `Your roles do not let you ${RIGHTS[wanted].sentence}.` : 'Your roles do not let you do that.'} You
          are signed in as {roles.length > 0 ? roles.join(', ') : 'a reader, without a role'}.
        </p>
        <p>Ask {wanted ? rightWhomToAsk(wanted) : 'a manager'} to do it, or a manager to give you the role.</p>
      </div>
      <p>
        <a className="button" href={paths.today()}>
          Back to Today
        </a>
      </p>
    </main>
  )
}
