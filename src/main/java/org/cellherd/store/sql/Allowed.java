package org.cellherd.store.sql;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import java.nio.file.attribute.PosixFilePermission;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;

/**
 * The end of a sentence about a denied permission: who has it, and how to become one of them. A
 * group is named only where its members may, and never the one of root.
 */
final class Allowed {

  private static final String ROOT = "root";

  private Allowed() {}

  static String toRead(Path file) {
    return to("r", List.of(file));
  }

  /** To write all of these; a folder among them must be entered, too. */
  static String toWrite(List<Path> files) {
    return to("rw", files);
  }

  static String toEnter(Path folder) {
    return to("x", List.of(folder));
  }

  private static String to(String letters, List<Path> files) {
    try {
      List<PosixFileAttributes> all = new ArrayList<>();
      for (Path file : files) {
        all.add(Files.readAttributes(file, PosixFileAttributes.class));
      }
      return of(letters, files.get(0), all);
    } catch (IOException | UnsupportedOperationException notTold) {
      return "";
    }
  }

  private static String of(String letters, Path file, List<PosixFileAttributes> all) {
    String group = all.get(0).group().getName();
    String owner = all.get(0).owner().getName();
    if (!group.equals(ROOT)
        && all.stream()
            .allMatch(a -> a.group().getName().equals(group) && has(a, "GROUP", letters))) {
      return "; members of the group \""
          + group
          + "\" may: sudo usermod -aG "
          + group
          + " NAME, then log in again";
    }
    if (all.stream().allMatch(a -> a.owner().getName().equals(owner) && has(a, "OWNER", letters))) {
      return "; only its owner \"" + owner + "\" may: run this as that user, or sudo chown it";
    }
    return "; not even its owner \"" + owner + "\" may: sudo chmod u+" + letters + " " + file;
  }

  private static boolean has(PosixFileAttributes file, String whose, String letters) {
    Set<PosixFilePermission> rights = file.permissions();
    String all = file.isDirectory() ? letters + "x" : letters;
    return all.chars()
        .mapToObj(letter -> letter == 'r' ? "_READ" : letter == 'w' ? "_WRITE" : "_EXECUTE")
        .allMatch(right -> rights.contains(PosixFilePermission.valueOf(whose + right)));
  }
}
