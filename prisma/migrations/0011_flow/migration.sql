-- AlterTable
ALTER TABLE "Job" ADD COLUMN "foundOnJobId" INTEGER;
ALTER TABLE "Job" ADD COLUMN "wordsAt" DATETIME;
ALTER TABLE "Job" ADD COLUMN "wordsById" TEXT;
ALTER TABLE "Job" ADD COLUMN "wordsVersion" INTEGER;

-- AlterTable
ALTER TABLE "JobCheck" ADD COLUMN "measure" TEXT;
ALTER TABLE "JobCheck" ADD COLUMN "measured" REAL;

-- CreateTable
CREATE TABLE "JobNote" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "jobId" INTEGER NOT NULL,
    "personId" TEXT NOT NULL,
    "at" DATETIME NOT NULL,
    "text" TEXT NOT NULL,
    CONSTRAINT "JobNote_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "JobPhoto" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "jobId" INTEGER NOT NULL,
    "pictureId" TEXT NOT NULL,
    "stage" TEXT NOT NULL,
    "stepKey" TEXT NOT NULL DEFAULT '',
    "alt" TEXT NOT NULL,
    "personId" TEXT NOT NULL,
    "at" DATETIME NOT NULL,
    "removedById" TEXT,
    "removedAt" DATETIME,
    CONSTRAINT "JobPhoto_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "JobPhoto_pictureId_fkey" FOREIGN KEY ("pictureId") REFERENCES "Picture" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "JobLabour" (
    "jobId" INTEGER NOT NULL,
    "personId" TEXT NOT NULL,
    "day" TEXT NOT NULL,
    "minutes" INTEGER NOT NULL,

    PRIMARY KEY ("jobId", "personId", "day"),
    CONSTRAINT "JobLabour_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "JobNote_jobId_idx" ON "JobNote"("jobId");

-- CreateIndex
CREATE INDEX "JobPhoto_pictureId_idx" ON "JobPhoto"("pictureId");

-- CreateIndex
CREATE UNIQUE INDEX "JobPhoto_jobId_pictureId_stage_stepKey_key" ON "JobPhoto"("jobId", "pictureId", "stage", "stepKey");

CREATE TRIGGER IF NOT EXISTS job_note_never_updated BEFORE UPDATE ON "JobNote" BEGIN
  SELECT RAISE(ABORT, 'job/append-only: a note is never changed, write another');
END;

CREATE TRIGGER IF NOT EXISTS job_note_never_deleted BEFORE DELETE ON "JobNote" BEGIN
  SELECT RAISE(ABORT, 'job/append-only: a note is never deleted, write another');
END;
