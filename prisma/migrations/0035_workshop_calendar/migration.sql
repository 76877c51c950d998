-- AlterTable
ALTER TABLE "ServiceSchedule" ADD COLUMN "labourMinutes" INTEGER;

-- AlterTable
ALTER TABLE "WinterPlan" ADD COLUMN "bays" INTEGER;
ALTER TABLE "WinterPlan" ADD COLUMN "usualMinutes" INTEGER;

-- CreateTable
CREATE TABLE "WinterPerson" (
    "planId" INTEGER NOT NULL,
    "personId" TEXT NOT NULL,
    "minutesADay" INTEGER NOT NULL,
    "away" TEXT NOT NULL DEFAULT '[]',

    PRIMARY KEY ("planId", "personId"),
    CONSTRAINT "WinterPerson_planId_fkey" FOREIGN KEY ("planId") REFERENCES "WinterPlan" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "WinterPerson_personId_fkey" FOREIGN KEY ("personId") REFERENCES "Person" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "WinterPerson_personId_idx" ON "WinterPerson"("personId");
