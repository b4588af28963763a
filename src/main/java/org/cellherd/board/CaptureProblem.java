package org.cellherd.board;

/** A line of a capture that cannot be used. The message begins with {@code file:line}. */
public final class CaptureProblem extends Exception {
  CaptureProblem(String file, long line, String what) {
    super(file + ":" + line + ": " + what);
  }
}
