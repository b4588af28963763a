package org.cellherd.app.verb;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.PrintStream;
import java.nio.charset.Charset;
import java.util.Locale;
import org.cellherd.app.ExitCode;

/** The program's entry. */
public final class Main {
  private Main() {}

  /** Runs one verb and ends the process with its exit code. */
  public static void main(String[] args) {
    LogLines.lastToTheEnd();
    // AWT draws reports without a screen; asking for one on a headless computer fails.
    System.setProperty("java.awt.headless", "true");
    // Numbers are written with a point wherever the computer stands: scripts and people compare.
    Locale.setDefault(Locale.ROOT);
    writeEveryLetter();
    NativeLibraries.keepPrivate();
    int exitCode = RootCommand.execute(args);
    if (exitCode != ExitCode.DONE || !insideMaven()) {
      System.exit(exitCode);
    }
  }

  /**
   * Where no language is set, as for a service, Java would write a minus or a degree sign as a
   * question mark: UTF-8 there.
   */
  private static void writeEveryLetter() {
    if (!Charset.defaultCharset().newEncoder().canEncode('\u2212')) {
      // Read by the parser of the command line for its own writers.
      System.setProperty("sun.stdout.encoding", UTF_8.name());
      System.setProperty("sun.stderr.encoding", UTF_8.name());
      System.setOut(new PrintStream(new FileOutputStream(FileDescriptor.out), true, UTF_8));
      System.setErr(new PrintStream(new FileOutputStream(FileDescriptor.err), true, UTF_8));
    }
  }

  /** Inside exec:java a System.exit would end Maven itself before it prints its closing lines. */
  private static boolean insideMaven() {
    return Thread.currentThread().getThreadGroup().getName().startsWith(Main.class.getName());
  }
}
