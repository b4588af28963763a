package org.cellherd.json;

/** Text that is not JSON, or more of it than allowed. The message begins with line and column. */
public final class JsonProblem extends Exception {

  JsonProblem(long line, long column, String what) {
    super("line " + line + ", column " + column + ": " + what, null, false, false);
  }
}
