import Link from 'next/link'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { TaskView } from '@/lib/db/service-job.ts'
import styles from '../job.module.css'
import { setTask } from './actions.ts'

const SAYS: Record<TaskView['state'], string> = {
  open: 'open',
  good: '✓ good',
  renewed: '↻ to be renewed',
  done: '✓ done',
  'not-applicable': 'does not apply',
}

/** Each thing with its answer: good or renew, done, or why it does not apply. */
export function TaskList(props: { jobId: number; modelId: number; tasks: TaskView[]; mayWork: boolean }) {
  const { jobId, modelId, mayWork } = props
  return (
    <ul className={`plain-list ${styles.checks}`}>
      {props.tasks.map((task) => (
        <li key={task.id} className={task.state === 'open' ? undefined : styles.ticked}>
          <span className={styles.checkText}>
            {task.figure ? (
              <Link
                href={paths.figure(modelId, task.figure.id, { job: jobId, item: task.figure.item })}
                prefetch={false}
              >
                {task.text}
              </Link>
            ) : (
              task.text
            )}
            {task.chance ? <span className="soft small"> - {task.chance}</span> : null}
            {task.state === 'open' ? null : (
              <>
                <br />
                <span className="strong">{SAYS[task.state]}</span>
                <span className="soft small">
                  {task.note ? `: ${task.note}` : ''}
                  {task.by ? `, ${task.by}` : ''}
                </span>
              </>
            )}
          </span>
          {mayWork ? <Answers jobId={jobId} task={task} /> : null}
        </li>
      ))}
    </ul>
  )
}

function Answers({ jobId, task }: { jobId: number; task: TaskView }) {
  const hidden = { jobId, taskId: task.id }
  if (task.state !== 'open')
    return (
      <ActionForm action={setTask} formKey={freshKey()} className="" hidden={{ ...hidden, state: 'open' }}>
        <SubmitButton className="button quiet" aria-label={`Undo: ${task.text}`}>
          Undo
        </SubmitButton>
      </ActionForm>
    )
  const answers =
    task.kind === 'look'
      ? ([
          ['good', 'Good'],
          ['renewed', 'Renew'],
        ] as const)
      : ([['done', 'Done']] as const)
  return (
    <span className="row">
      {answers.map(([state, says]) => (
        <ActionForm key={state} action={setTask} formKey={freshKey()} className="" hidden={{ ...hidden, state }}>
          <SubmitButton className="button" aria-label={`${says}: ${task.text}`}>
            {says}
          </SubmitButton>
        </ActionForm>
      ))}
      <details>
        <summary className="button quiet">Does not apply</summary>
        <ActionForm
          action={setTask}
          formKey={freshKey()}
          submit="Set aside"
          submitClassName="button"
          hidden={{ ...hidden, state: 'not-applicable' }}
        >
          <Field name="note" label="Why" />
        </ActionForm>
      </details>
    </span>
  )
}
