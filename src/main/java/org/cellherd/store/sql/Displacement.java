package org.cellherd.store.sql;

/** Why a log that is open is no longer this program's to write. */
enum Displacement {
  /** Its name stands for another file, or for none. */
  MOVED(
      "was moved, removed or replaced while it was open",
      "nothing is written until it is back. To continue in the file that is there now, restart"
          + " cellherd"),
  /** Something else was written into it. */
  OVERWRITTEN(
      "was overwritten while it was open",
      "nothing is written any more. To continue in what is there now, restart cellherd"),
  /** The lock under which we wrote is another's. */
  OTHERS(
      "is written by another cellherd",
      "its lock file was removed. Nothing is written here any more. Stop one of the two; to continue"
          + " with this one, restart it");

  private final String clause;
  private final String consequence;

  Displacement(String clause, String consequence) {
    this.clause = clause;
    this.consequence = consequence;
  }

  /** What happened, one clause without its subject. */
  String clause() {
    return clause;
  }

  /** What happened, what follows and what to do; without its subject. */
  String advice() {
    return clause + "; " + consequence;
  }
}
