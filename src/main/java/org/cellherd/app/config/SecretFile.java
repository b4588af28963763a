package org.cellherd.app.config;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.util.Set;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.toml.TomlTable;

/** Reads secrets, which are never in the config itself nor on the command line. */
public final class SecretFile {

  private static final int LONGEST = 4096;

  /** A file that holds no secret as it should; the message says what would be right. */
  private static final class Unfit extends Exception {
    private static final long serialVersionUID = 1L;

    Unfit(String message) {
      super(message, null, false, false);
    }

    @Override
    public String getMessage() {
      return String.valueOf(super.getMessage());
    }
  }

  /** Who reads a config. */
  enum Reader {
    /** Uses the secrets: each must be readable. */
    RUNS,
    /** Only asks: a secret that belongs to another user is left out. */
    ASKS
  }

  private SecretFile() {}

  /**
   * First line of the file; records a problem at the key, without the content, when it cannot be.
   */
  static char[] read(TomlTable table, String key, Path file, Reader who) {
    try {
      return line(file);
    } catch (AccessDeniedException ofOthers) {
      if (who == Reader.RUNS) {
        table.problem(key, unreadable(file, ofOthers));
      }
    } catch (Unfit unfit) {
      table.problem(key, unfit.getMessage());
    }
    return new char[0];
  }

  /**
   * First line of a file that the command line names.
   *
   * @throws Stop with exit code 2 when it cannot be
   */
  public static char[] read(Path file) {
    try {
      return line(file);
    } catch (AccessDeniedException ofOthers) {
      throw Stop.usage(unreadable(file, ofOthers));
    } catch (Unfit unfit) {
      throw Stop.usage(unfit.getMessage());
    }
  }

  private static String unreadable(Path file, Exception why) {
    return "cannot read " + file + " (" + FileCause.of(file, why) + ")";
  }

  private static char[] line(Path file) throws Unfit, AccessDeniedException {
    try {
      if (Files.isDirectory(file)) {
        throw new Unfit(file + " is a directory, a file is wanted");
      }
      Set<PosixFilePermission> permissions = Files.getPosixFilePermissions(file);
      if (permissions.contains(PosixFilePermission.OTHERS_READ)
          || permissions.contains(PosixFilePermission.OTHERS_WRITE)) {
        throw new Unfit(file + " can be read by everybody; do: chmod 600 " + file);
      }
      byte[] bytes = FileText.start(file, LONGEST + 1);
      if (bytes.length > LONGEST) {
        throw new Unfit(file + " is longer than " + LONGEST + " bytes, allowed: one line");
      }
      String line = FileText.text(bytes).lines().findFirst().orElse("").strip();
      if (line.isEmpty()) {
        throw new Unfit(file + " is empty, allowed: one line with the secret");
      }
      return line.toCharArray();
    } catch (AccessDeniedException ofOthers) {
      throw ofOthers;
    } catch (IOException | UnsupportedOperationException unreadable) {
      throw new Unfit(unreadable(file, unreadable));
    }
  }
}
