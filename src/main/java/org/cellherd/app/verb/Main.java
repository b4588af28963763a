package org.cellherd.app.verb;

import java.util.Locale;
import org.cellherd.app.ExitCode;

/** The program's entry. */
public final class Main {
  private Main() {}

  /** Runs one verb and ends the process with its exit code. */
  public static void main(String[] args) {
    // AWT draws reports without a screen; asking for one on a headless computer fails.
    System.setProperty("java.awt.headless", "true");
    // Numbers are written with a point wherever the computer stands: scripts and people compare.
    Locale.setDefault(Locale.ROOT);
    NativeLibraries.keepPrivate();
    int exitCode = RootCommand.execute(args);
    if (exitCode != ExitCode.DONE || !insideMaven()) {
      System.exit(exitCode);
    }
  }

  /** Inside exec:java a System.exit would end Maven itself before it prints its closing lines. */
  private static boolean insideMaven() {
    return Thread.currentThread().getThreadGroup().getName().startsWith(Main.class.getName());
  }
}
