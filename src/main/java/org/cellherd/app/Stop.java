package org.cellherd.app;

/** Ends a verb with an exit code and one line for people on standard error. */
public final class Stop extends RuntimeException {
  private final int exitCode;

  /** A stop with its exit code and what to print. */
  public Stop(int exitCode, String message) {
    super(message, null, false, false);
    this.exitCode = exitCode;
  }

  /** Wrong usage, or a file of the user's is wrong. */
  public static Stop usage(String message) {
    return new Stop(ExitCode.USAGE, message);
  }

  public int exitCode() {
    return exitCode;
  }
}
