import type { WorkAnswer } from '@/lib/winter/answer.ts'
import { chanceWords } from '@/lib/winter/words.ts'

/** Whether parts are there, by shape and by word: all there, some may lack, some lack for certain. */
export function PartsState({ work }: { work: Pick<WorkAnswer, 'now' | 'lacks'> }) {
  const short = work.lacks.filter(({ now }) => now === 0).length
  const [shape, words] =
    work.now > 0.9995 ? ['■', 'all there'] : short > 0 ? ['▲', `${short} short`] : ['◧', chanceWords(work.now)]
  return (
    <span className="stock-state">
      <span className="shape" aria-hidden="true">
        {shape}
      </span>
      <span>{words}</span>
    </span>
  )
}
