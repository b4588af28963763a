package org.cellherd.app;

/** The command line's entry. */
public final class Main {
  private Main() {}

  /** Runs one verb and ends the process with its exit code. */
  public static void main(String[] args) {
    System.out.println("cellherd");
  }
}
