package org.cellherd;

import static org.junit.jupiter.api.Assumptions.abort;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** What some tests need from the machine: programs of Debian, and folders of open data. */
public final class Tools {

  private static final boolean REQUIRED = "1".equals(System.getenv("CELLHERD_REQUIRE_TOOLS"));

  private Tools() {}

  /**
   * Path of a program; skips the test with a printed reason where it is absent, or fails it where
   * the environment says that all programs are there.
   */
  public static Path require(String program) {
    for (String folder : (System.getenv("PATH") + ":/usr/sbin:/sbin").split(File.pathSeparator)) {
      Path path = Path.of(folder, program);
      if (Files.isExecutable(path)) {
        return path;
      }
    }
    throw missing("the program " + program + " is not installed");
  }

  /** Skips (or fails) the test unless this Python has a module. */
  public static void requirePythonModule(Path python, String module) {
    try {
      if (Files.isExecutable(python)
          && new ProcessBuilder(python.toString(), "-c", "import " + module).start().waitFor()
              == 0) {
        return;
      }
    } catch (IOException e) {
      throw missing(python + " does not run: " + e.getMessage());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    throw missing(python + " has no module " + module);
  }

  /**
   * Folder of open measurement data and standards' vectors, by CELLHERD_OPEN_DATA; skips the test
   * with a printed reason where there is none, since others' data are no part of the project.
   */
  public static Path openData() {
    String folder = System.getenv("CELLHERD_OPEN_DATA");
    if (folder != null && Files.isDirectory(Path.of(folder))) {
      return Path.of(folder);
    }
    throw skipped("CELLHERD_OPEN_DATA names no folder of open data");
  }

  /** Skips the test with a reason, or fails it where the environment says that all is there. */
  public static RuntimeException missing(String reason) {
    if (REQUIRED) {
      return new IllegalStateException(reason + ", but CELLHERD_REQUIRE_TOOLS=1");
    }
    return skipped(reason);
  }

  private static RuntimeException skipped(String reason) {
    System.out.println("skipped: " + reason);
    abort(reason);
    return new IllegalStateException(reason);
  }
}
