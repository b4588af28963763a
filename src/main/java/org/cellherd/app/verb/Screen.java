package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** Where standard output goes: a terminal takes control codes, a file or a pipe does not. */
final class Screen {

  private static final Path STANDARD_OUTPUT = Path.of("/proc/self/fd/1");

  private Screen() {}

  /** True on a terminal; false where the system does not say. */
  static boolean isTerminal() {
    try {
      String target = Files.readSymbolicLink(STANDARD_OUTPUT).toString();
      return target.startsWith("/dev/pts/")
          || target.startsWith("/dev/tty")
          || target.equals("/dev/console");
    } catch (IOException | UnsupportedOperationException unknown) {
      return false;
    }
  }
}
