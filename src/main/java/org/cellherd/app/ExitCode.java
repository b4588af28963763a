package org.cellherd.app;

/** Exit codes, the same for every verb. */
public final class ExitCode {
  /** Done; also an empty list. */
  public static final int DONE = 0;

  /** A check said no. */
  public static final int NO = 1;

  /** Wrong usage, or a file of the user's is wrong. */
  public static final int USAGE = 2;

  /** The line to a board. */
  public static final int LINK = 3;

  /** The log in its file. */
  public static final int STORE = 4;

  /** The MQTT broker. */
  public static final int BROKER = 5;

  private ExitCode() {}
}
