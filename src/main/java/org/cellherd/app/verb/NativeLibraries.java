package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;

/**
 * Where the native parts of the libraries come from. The installed program names a fixed folder by
 * properties of the JVM. A plain jar has to unpack them; left alone it does so into the temporary
 * folder that all users share, where another user could plant a library of the same name.
 */
final class NativeLibraries {

  private static final String SERIAL = "jSerialComm.library.path";
  private static final String LOG = "org.sqlite.lib.path";

  private NativeLibraries() {}

  /** Before anything is loaded: whatever is unpacked goes to a folder of this user alone. */
  static void keepPrivate() {
    if (System.getProperty(SERIAL) != null && System.getProperty(LOG) != null) {
      return;
    }
    try {
      Path home = Path.of(System.getProperty("user.home", "."));
      System.setProperty("java.io.tmpdir", ownFolder(home).toString());
    } catch (IOException | UnsupportedOperationException noHome) {
      // Then the shared folder has to do: without its libraries the program is of no use.
      System.getLogger(NativeLibraries.class.getName())
          .log(System.Logger.Level.DEBUG, "no folder of one's own for native libraries", noHome);
    }
  }

  /** A folder below a user's home that nobody else may enter. */
  static Path ownFolder(Path home) throws IOException {
    Path own = home.resolve(".cache").resolve("cellherd");
    if (!Files.isDirectory(own)) {
      Files.createDirectories(own.getParent());
      Files.createDirectory(
          own, PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rwx------")));
    }
    return own;
  }
}
