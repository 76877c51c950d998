import Link from 'next/link'
import { Due } from '@/app/_parts/due.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type JobRow, jobsList } from '@/lib/db/job-read.ts'
import { jobWhenSays } from '@/lib/job/when.ts'
import { mayDo } from '@/lib/people/role.ts'

export const metadata = { title: 'Jobs' }

export default async function JobsPage() {
  const who = await signedIn()
  const [open, closed] = await Promise.all([jobsList({ state: 'open' }), jobsList({ state: 'closed' }, 40)])
  return (
    <main className="page stack loose" id="page">
      <div className="page-head">
        <h1>Jobs</h1>
        <nav className="row" aria-label="For jobs">
          {mayDo(who.roles, 'job.open') ? (
            <Link className="button primary" href={paths.jobNew()}>
              Log a repair
            </Link>
          ) : null}
          <Link className="button" href={paths.serviceBook()} prefetch={false}>
            Service book
          </Link>
          <Link className="button" href={paths.fasteners()} prefetch={false}>
            Fasteners and grease
          </Link>
        </nav>
      </div>
      {open.length === 0 ? (
        <p className="empty">No open jobs. When something fails, log it here, on the machine or on the drawing.</p>
      ) : (
        <JobTable caption="Open" jobs={open} />
      )}
      {closed.length > 0 ? <JobTable caption="Closed, newest first" jobs={closed} /> : null}
    </main>
  )
}

function JobTable({ caption, jobs }: { caption: string; jobs: JobRow[] }) {
  return (
    <table className="parts fold">
      <caption>{caption}</caption>
      <thead>
        <tr>
          <th scope="col">Job</th>
          <th scope="col">Machine</th>
          <th scope="col">Complaint</th>
          <th scope="col">Since</th>
          <th scope="col">State</th>
        </tr>
      </thead>
      <tbody>
        {jobs.map((job) => (
          <tr key={job.id}>
            <td className="number">
              <Link href={paths.job(job.id)}>{job.number}</Link>
            </td>
            <td>{job.machine}</td>
            <td className="wide">{job.complaint}</td>
            <td>
              <When at={job.closedAt ?? job.openedAt} />
            </td>
            <td>
              {job.state === 'closed' ? 'closed' : job.waiting > 0 ? 'waits for parts' : 'open'}
              {job.waitsDueOn !== null ? (
                <span className="small">
                  {' '}
                  <Due on={job.waitsDueOn} of="order" />
                </span>
              ) : null}
              {job.state === 'open' && (job.needOn !== null || job.priority !== 2) ? (
                <span className="small"> {jobWhenSays(job)}</span>
              ) : null}
              {job.unsafe && job.state === 'open' ? <span className="badge unsafe"> unsafe</span> : null}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
