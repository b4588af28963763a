package org.cellherd.app.config;

import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.toml.TomlDocument;

/** Reads the small text files that users give us. */
public final class FileText {

  private FileText() {}

  /**
   * The whole text of a file.
   *
   * @throws Stop with exit code 2 and the reason when it cannot be read
   */
  public static String read(Path file) {
    try {
      if (Files.isDirectory(file)) {
        throw new Stop(ExitCode.USAGE, file + ": is a directory, a file is wanted");
      }
      if (Files.size(file) > 4L * TomlDocument.MOST_CHARACTERS) {
        throw new Stop(ExitCode.USAGE, file + ": is too long, at most 1 MiB is read");
      }
      return Files.readString(file, StandardCharsets.UTF_8);
    } catch (CharacterCodingException notText) {
      throw new Stop(ExitCode.USAGE, file + ": is no UTF-8 text");
    } catch (IOException unreadable) {
      throw FileCause.unreadable(file, unreadable);
    }
  }
}
