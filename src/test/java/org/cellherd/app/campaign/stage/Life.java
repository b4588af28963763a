package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Random;

/** The life of the program, as far as faults end it. */
public interface Life {

  /** What is done to the files while nobody runs. */
  @FunctionalInterface
  interface FileWork {
    /** Leaves all as it is. */
    FileWork NONE = (log, random) -> {};

    /** Does it to a log and what lies beside it. */
    void strike(Path log, Random random) throws IOException;
  }

  /** Ends the run, by a kill or in order, does the work and starts the next one. */
  void restart(boolean isKilled, boolean isDamaging, FileWork between) throws Exception;

  /** Changes the owner's plan, which the next run begins with. */
  void changePlan();
}
