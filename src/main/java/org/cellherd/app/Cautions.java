package org.cellherd.app;

/** What every user is shown before anything else. */
public final class Cautions {

  /** One line, for the start of {@code run} and {@code demo}. */
  public static final String LINE =
      "cellherd observes, it does not protect: board, fuse and charger must hold without it. "
          + "Do not leave a first charge alone because a program is watching.";

  private Cautions() {}
}
