package org.cellherd.app.config;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.util.Set;
import org.cellherd.app.FileCause;
import org.cellherd.toml.TomlTable;

/** Reads secrets, which are never in the config itself. */
final class SecretFile {

  private static final int LONGEST = 4096;

  private SecretFile() {}

  /**
   * First line of the file; records a problem at the key, without the content, when it cannot be.
   */
  static char[] read(TomlTable table, String key, Path file) {
    try {
      Set<PosixFilePermission> permissions = Files.getPosixFilePermissions(file);
      if (permissions.contains(PosixFilePermission.OTHERS_READ)
          || permissions.contains(PosixFilePermission.OTHERS_WRITE)) {
        table.problem(key, file + " can be read by everybody; do: chmod 600 " + file);
        return new char[0];
      }
      byte[] bytes = FileText.start(file, LONGEST + 1);
      if (bytes.length > LONGEST) {
        table.problem(key, file + " is longer than " + LONGEST + " bytes, allowed: one line");
        return new char[0];
      }
      String line = FileText.text(bytes).lines().findFirst().orElse("").strip();
      if (line.isEmpty()) {
        table.problem(key, file + " is empty, allowed: one line with the secret");
      }
      return line.toCharArray();
    } catch (IOException | UnsupportedOperationException unreadable) {
      table.problem(key, "cannot read " + file + " (" + FileCause.of(file, unreadable) + ")");
      return new char[0];
    }
  }
}
