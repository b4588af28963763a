package org.cellherd.json;

/** Text that is not JSON, or more of it than allowed. The message begins with line and column. */
public final class JsonProblem extends Exception {

  private final long line;
  private final long column;

  JsonProblem(long line, long column, String what) {
    super("line " + line + ", column " + column + ": " + what, null, false, false);
    this.line = line;
    this.column = column;
  }

  /** Line, from 1. */
  public long line() {
    return line;
  }

  /** Column, from 1. */
  public long column() {
    return column;
  }
}
