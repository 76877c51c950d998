-- AlterTable
ALTER TABLE "Part" ADD COLUMN "asksBatch" BOOLEAN;
ALTER TABLE "Part" ADD COLUMN "asksUseBy" BOOLEAN;
ALTER TABLE "Part" ADD COLUMN "shelfLifeMonths" INTEGER;

-- CreateTable
CREATE TABLE "PartClassRule" (
    "partClass" TEXT NOT NULL PRIMARY KEY,
    "asksBatch" BOOLEAN NOT NULL,
    "asksUseBy" BOOLEAN NOT NULL,
    "shelfLifeMonths" INTEGER
);
