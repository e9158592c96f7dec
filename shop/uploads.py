"""Refusing a huge upload while it arrives, before it fills the disk."""

from django.conf import settings
from django.core.files.uploadhandler import FileUploadHandler, SkipFile


class RefuseHugeFiles(FileUploadHandler):
    """Drop any file past the limit and remember its field, so that the form can say so in words.

    The rest of the post is still read: whatever else was typed survives.
    """

    def new_file(self, *args, **kwargs):
        super().new_file(*args, **kwargs)
        self.received = 0

    def receive_data_chunk(self, raw_data, start):
        self.received += len(raw_data)
        if self.received > settings.PHOTO_MAX_BYTES:
            refused = getattr(self.request, "refused_uploads", {})
            refused.setdefault(self.field_name, []).append(self.file_name)
            self.request.refused_uploads = refused
            raise SkipFile
        return raw_data

    def file_complete(self, file_size):
        return None
