from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('crews', '0003_messages'),
    ]

    operations = [
        migrations.RenameField(
            model_name='branchreach',
            old_name='cancel_letter',
            new_name='call_off_letter',
        ),
        migrations.AddField(
            model_name='branchreach',
            name='writes_by_itself',
            field=models.BooleanField(default=False, help_text='Letters to suppliers go out by themselves when a call is due within a working day.'),
        ),
    ]
